"""The damages of a rental: marks that are new, and known ones that grew, on the return of each leg."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, NamedTuple

from handover.damage.models import Grouping, RepairPrice
from handover.rental.models import Rental
from handover.walkround.models import Mark, MarkFinding, WalkRound
from shared.access.models import Person

# A mark this close to the middle of the vehicle, as a share of its half width, belongs to its front, rear or roof.
MIDDLE = 0.6
ENDS = 0.12


@dataclass(frozen=True, slots=True)
class Damage:
    """A mark with its size now; known_size_mm is what it had at pickup, None when it is new. `by` saw it so."""

    mark: Mark
    size_mm: int
    known_size_mm: int | None
    side: str
    walk: WalkRound
    at: datetime
    by: Person

    @property
    def ref(self) -> str:
        return f"Mark {self.mark.number}"


class Seen(NamedTuple):
    at: datetime
    by: Person


def damages_of(rental: Rental) -> list[Damage]:
    """Leg by leg, in order of the marks' numbers: each unit counts its own from 1. Three queries."""
    returns = list(
        WalkRound.objects.filter(leg__rental=rental, kind=WalkRound.Kind.RETURN).select_related("sheet", "leg__unit")
    )
    by_id = {walk.pk: walk for walk in returns}
    new = [
        _damage(mark, mark.size_mm, None, by_id[mark.found_on_id], Seen(mark.found_at, mark.found_by))
        for mark in Mark.objects.filter(found_on__in=returns).select_related("found_by")
        if mark.found_on_id
    ]
    grown = MarkFinding.objects.filter(walk__in=returns, word="worse").select_related("mark", "by").order_by("at", "id")
    latest = {finding.mark_id: finding for finding in grown}
    worse = [
        _damage(row.mark, row.size_mm, row.mark.size_mm, by_id[row.walk_id], Seen(row.at, row.by))
        for row in latest.values()
        if row.size_mm
    ]
    return sorted([*new, *worse], key=lambda damage: (damage.walk.leg.number, damage.mark.number))


def _damage(mark: Mark, size_mm: int, known_size_mm: int | None, walk: WalkRound, seen: Seen) -> Damage:
    return Damage(mark, size_mm, known_size_mm, side_of(mark, walk), walk, seen.at, seen.by)


def side_of(mark: Mark, walk: WalkRound) -> str:
    """The zone of the vehicle a mark lies in: damages of unknown cause in one zone are one event."""
    if mark.part in {"roof", "underbody", "interior", "awning"}:
        return mark.part
    sheet = walk.sheet.data
    if mark.y_mm < sheet.length_mm * ENDS and abs(mark.x_mm) < sheet.width_mm / 2 * MIDDLE:
        return "front"
    if mark.y_mm > sheet.length_mm * (1 - ENDS) and abs(mark.x_mm) < sheet.width_mm / 2 * MIDDLE:
        return "rear"
    return "left" if mark.x_mm < 0 else "right"


def default_events(damages: Iterable[Damage]) -> list[dict[str, Any]]:
    """One event for each zone: of unknown cause, and decided for the customer."""
    zones: dict[str, list[str]] = {}
    for damage in damages:
        zones.setdefault(damage.side, []).append(str(damage.mark.pk))
    return [
        {"id": f"E{number}", "cause": "", "place": side, "marks": marks}
        for number, (side, marks) in enumerate(zones.items(), start=1)
    ]


def events_of(rental: Rental, damages: list[Damage]) -> tuple[list[dict[str, Any]], Grouping | None]:
    """The grouping that counts: the latest somebody decided, marks found since then by their zone."""
    grouping = Grouping.objects.filter(rental=rental).last()
    if grouping is None:
        return default_events(damages), None
    known = {mark for event in grouping.events for mark in event["marks"]}
    current = {str(damage.mark.pk) for damage in damages}
    kept = [event | {"marks": [mark for mark in event["marks"] if mark in current]} for event in grouping.events]
    late = [damage for damage in damages if str(damage.mark.pk) not in known]
    extra = [event | {"id": f"{event['id']}+"} for event in default_events(late)]
    return [event for event in kept if event["marks"]] + extra, grouping


def repair_prices(rental: Rental) -> dict[tuple[Any, str], RepairPrice]:
    """The latest price of each basis for each mark."""
    return {(row.mark_id, row.basis): row for row in RepairPrice.objects.filter(rental=rental).select_related("by")}
