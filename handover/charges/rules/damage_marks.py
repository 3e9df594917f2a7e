"""Which damage is no new damage: marks known at pickup, and fair wear."""

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.damage_rates import DamageRate
from handover.charges.document.findings import DamageItem, Event
from handover.charges.document.kinds import NOT_READ

SAME_SIZE = Decimal("1.2")  # a mark measured up to a fifth larger is the same mark


def known_sizes(case: Case, events: tuple[Event, ...]) -> dict[str, Decimal]:
    """By the item's path, the size that its mark had at pickup: stated, or of the nearest known mark of its kind.

    Each known mark stands for one item only.
    """
    sizes: dict[str, Decimal] = {}
    unused = list(case.known_marks)
    for item in _items(events):
        if item.known_size_mm is not None:
            sizes[item.path] = item.known_size_mm
            continue
        same = [mark for mark in unused if (mark.part, mark.kind) == (item.part, item.kind)]
        size = item.size_mm
        if same and isinstance(size, Decimal):
            nearest = min(same, key=lambda mark: abs(mark.size_mm - size))
            unused.remove(nearest)
            sizes[item.path] = nearest.size_mm
    return sizes


def _items(events: tuple[Event, ...]) -> Iterator[DamageItem]:
    for event in events:
        yield from event.items


def is_known(item: DamageItem, known: Decimal | None) -> bool:
    """Whether the mark was there: said so without a size, or not more than a fifth larger now."""
    if known is None or not isinstance(item.size_mm, Decimal):
        return item.pre_existing or known is not None
    return item.size_mm <= known * SAME_SIZE


def fair_wear(rate: DamageRate, events: tuple[Event, ...], known: dict[str, Decimal]) -> frozenset[str]:
    """Paths of the items that are wear: at or below the limit of their kind, and not too many on one panel.

    Of a known mark only its growth is held against the limit. The first so many on a panel are wear even where
    more follow: only those beyond the number are charged.
    """
    wear: set[str] = set()
    on_panel: Counter[tuple[str, str | None]] = Counter()
    for item in _items(events):
        if not _within(rate, item, known.get(item.path)):
            continue
        spot = (item.panel or item.part, item.kind)
        most = rate.fair_wear_max_per_panel.get(item.kind or "")
        if most is None or on_panel[spot] < most:
            wear.add(item.path)
        on_panel[spot] += 1
    return frozenset(wear)


def _within(rate: DamageRate, item: DamageItem, known: Decimal | None) -> bool:
    """Equal to the limit is wear. A scratch or dent through the paint never is. A size not measured is none."""
    limit = rate.fair_wear_max_mm.get(item.kind or "")
    if limit is None or item.through_paint:
        return False
    if item.size_mm is NOT_READ:
        return True
    return isinstance(item.size_mm, Decimal) and item.size_mm - (known or 0) <= limit
