"""Days of the ledger: what the entries of one come to, which are sealed, and whether the seals say what is there."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import UUID, uuid5

from django.db.models import Exists, Max, OuterRef, QuerySet

from shared.ledger.chain import START
from shared.ledger.day_document import (
    Day,
    Leaf,
    NoDocument,
    bounds,
    document_digest,
    history_root,
    read_document,
)
from shared.ledger.merkle import root
from shared.ledger.models import DaySeal, Entry
from shared.ledger.verifying import readable

SEALS_CHAIN = uuid5(UUID(int=0), "levelpeg day seals")
"""The chain that tells of every day seal, so that none can go unseen."""

SETTLING = timedelta(minutes=15)
"""So long after midnight (UTC) what was begun before it has ended or failed."""


def entries_of(day: date) -> QuerySet[Entry]:
    start, end = bounds(day)
    return Entry.objects.filter(recorded_at__gte=start, recorded_at__lt=end)


def day_of(day: date) -> Day:
    """From the entries alone: what a seal of this day must say."""
    later = Entry.objects.filter(
        chain=OuterRef("chain"), sequence__gt=OuterRef("sequence"), recorded_at__lt=bounds(day)[1]
    )
    heads = entries_of(day).filter(~Exists(later)).order_by("chain").values_list("chain", "sequence", "digest")
    return Day(day, entries_of(day).count(), tuple(Leaf(*head) for head in heads))


def last_seal() -> DaySeal | None:
    return DaySeal.objects.order_by("number").last()


def days_to_seal(now: datetime) -> list[date]:
    """Closed days with entries after the last sealed one, the first one first."""
    last = last_seal()
    entries = Entry.objects.filter(recorded_at__lt=bounds((now - SETTLING).astimezone(UTC).date())[0])
    if last:
        entries = entries.filter(recorded_at__gte=bounds(last.day)[1])
    return _days(entries)


def unsealed() -> int:
    """How many entries were written since the last sealed day ended."""
    last = last_seal()
    return Entry.objects.filter(recorded_at__gte=bounds(last.day)[1]).count() if last else Entry.objects.count()


def verify_days() -> Iterator[str]:
    """A sentence for each seal that does not say what the entries of its day come to, or is missing among them."""
    return readable(_verify_days(), "A day seal")


def _verify_days() -> Iterator[str]:
    digests: list[str] = []
    sealed: list[date] = []
    for seal in DaySeal.objects.order_by("number").iterator(chunk_size=50):
        yield from _check_place(seal, len(digests) + 1, sealed[-1] if sealed else None)
        yield from check_seal(seal, digests)
        digests.append(document_digest(seal.document))
        sealed.append(seal.day)
    yield from _missing(sealed)


def verify_day(seal: DaySeal) -> Iterator[str]:
    """The same for one seal, with the documents before it as they are."""
    yield from readable(_verify_day(seal), str(seal))


def _verify_day(seal: DaySeal) -> Iterator[str]:
    earlier = DaySeal.objects.filter(number__lt=seal.number).order_by("number").values_list("document", flat=True)
    yield from check_seal(seal, [document_digest(text) for text in earlier.iterator(chunk_size=50)])


def check_seal(seal: DaySeal, digests: list[str]) -> Iterator[str]:
    """A sentence for each thing that the document says and that is not so; digests are of the documents before it."""
    try:
        said = read_document(seal.document)
    except NoDocument as problem:
        yield f"{seal}: {problem}"
        return
    found = day_of(seal.day)
    expected = {
        "number": (seal.number, "is another number than the one it is kept under"),
        "day": (seal.day.isoformat(), "is another day than the one it is kept under"),
        "zone": ("UTC", "is another zone"),
        "entries": (found.entries, f"entries, and {found.entries} are there"),
        "leaves": (len(found.leaves), f"chains, and {len(found.leaves)} were written to"),
        "root": (root([leaf.data for leaf in found.leaves]).hex(), "is not the root of what is there"),
        "previous": (digests[-1] if digests else START, "is not the digest of the seal before"),
        "history": ({"size": len(digests), "root": history_root(digests)}, "is not what the seals before come to"),
    }
    for name, (value, otherwise) in expected.items():
        if said.get(name) != value:
            yield f"{seal} says {name} {_short(said.get(name))}: that {otherwise}."


def _short(value: Any) -> str:
    return str(value)[:80]


def _check_place(seal: DaySeal, number: int, before: date | None) -> Iterator[str]:
    if seal.number != number:
        yield f"{seal} stands where number {number} belongs: a seal is missing, added or out of order."
    if before and seal.day <= before:
        yield f"{seal} is of a day before that of the seal before it, {before}."


def _missing(sealed: list[date]) -> Iterator[str]:
    """Days with entries before the last sealed one that have no seal."""
    if not sealed:
        return
    known = set(sealed)
    for day in _days(Entry.objects.filter(recorded_at__lt=bounds(max(known))[1])):
        if day not in known:
            yield f"{day} has entries and no seal, and a later day is sealed."


def _days(entries: QuerySet[Entry]) -> list[date]:
    """Days with entries, each found by one look into the index, however many entries it has."""
    days: list[date] = []
    newest = entries.aggregate(newest=Max("recorded_at"))["newest"]
    while newest is not None:
        days.append(newest.astimezone(UTC).date())
        newest = entries.filter(recorded_at__lt=bounds(days[-1])[0]).aggregate(newest=Max("recorded_at"))["newest"]
    return days[::-1]
