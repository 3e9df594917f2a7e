"""What stands on a walk-round and was not under the last signature: given later, or not on what a tablet showed."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from handover.statement.models import Signature
from handover.walkround.answers import Answers
from handover.walkround.models import Answer
from handover.walkround.not_signed import differences_in, signed_under
from handover.walkround.page.figures import spoken
from handover.walkround.queries import Seen
from handover.walkround.sheet import StationSheet


@dataclass(frozen=True, slots=True)
class Unsigned:
    """`at` and `by` are empty for what differs from the page that a tablet showed."""

    station: int
    what: str
    at: datetime | None = None
    by: str = ""


def since_signed(seen: Seen) -> list[Unsigned]:
    """Empty while nobody has signed, and where nothing changed since. One query, two once it is finished."""
    walk = seen.walk
    last = Signature.objects.filter(walk=walk, outcome=Signature.Outcome.SIGNED).order_by("at", "id").last()
    if last is None:
        return []
    shown = signed_under(walk, walk.shown_offline.all()) if walk.finished_at else None
    if shown:
        return [Unsigned(row.station, row.what) for row in differences_in(shown)]
    return [*_answers(seen, last.at), *_marks(seen, last.at), *_photos(seen, last.at)]


def _answers(seen: Seen, signed_at: datetime) -> Iterator[Unsigned]:
    for station in seen.walk.sheet.data.stations:
        for asked, what in _asked_at(station):
            answer = _answer(seen.now, asked)
            if answer and answer.at > signed_at:
                yield Unsigned(station.number, what, answer.at, answer.by.short_name)


def _asked_at(station: StationSheet) -> Iterable[tuple[UUID, str]]:
    return [
        *((ask.id, ask.text) for ask in station.checks),
        *((ask.id, spoken(ask)) for ask in station.instruments),
        *((item.id, item.name) for item in station.counts),
        *((kit.id, kit.name) for kit in station.kits),
        *((ask.id, ask.title) for ask in station.topics),
    ]


def _answer(now: Answers, asked: UUID) -> Answer | None:
    kinds: tuple[dict[UUID, Answer], ...] = (
        now.checks, now.readings, now.counts, now.seals, now.topics,
    )  # type: ignore[assignment]  # fmt: skip
    return next((kept[asked] for kept in kinds if asked in kept), None)


def _marks(seen: Seen, signed_at: datetime) -> Iterator[Unsigned]:
    for mark in seen.marks:
        finding = seen.now.marks.get(mark.pk)
        if mark.found_on_id == seen.walk.pk and mark.found_at > signed_at:
            yield Unsigned(mark.station_number, str(mark), mark.found_at)
        elif finding and finding.at > signed_at:
            yield Unsigned(mark.station_number, str(mark), finding.at, finding.by.short_name)


def _photos(seen: Seen, signed_at: datetime) -> Iterator[Unsigned]:
    for photo in seen.photos:
        if photo.walk_id == seen.walk.pk and photo.at > signed_at:
            yield Unsigned(photo.station_number, photo.view, photo.at, photo.by.short_name)
