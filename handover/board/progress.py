"""How far walk-rounds under way have come, in two queries however many there are."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID

from django.db.models import Value
from django.utils.translation import gettext as _

from handover.photo.models import Photo
from handover.walkround.models import CheckAnswer, Count, Reading, SealCheck, Sheet, TopicHeard, WalkRound
from handover.walkround.progress import asked_at
from handover.walkround.sheet import StationSheet


@dataclass(frozen=True, slots=True)
class Progress:
    """Stations with nothing left open, of all."""

    done: int
    stations: int

    def __str__(self) -> str:
        return _("Walk-round %(done)s of %(stations)s") % {"done": self.done, "stations": self.stations}


def progress_of(walks: Iterable[WalkRound]) -> dict[UUID, Progress]:
    walks = list(walks)
    if not walks:
        return {}
    sheets = Sheet.objects.in_bulk({walk.sheet_id for walk in walks})
    answered = _answered([walk.pk for walk in walks])
    found = {}
    for walk in walks:
        stations = sheets[walk.sheet_id].data.stations
        done = sum(_asked(station, walk.kind) <= answered[walk.pk] for station in stations)
        found[walk.pk] = Progress(done, len(stations))
    return found


def _asked(station: StationSheet, kind: str) -> set[tuple[bool, UUID]]:
    """Whether it is a photo, and of what: a photo of a gauge and the gauge's reading have the same id."""
    return {(word == "photo", question) for word, question in asked_at(station, kind)}


def _answered(walk_ids: list[UUID]) -> defaultdict[UUID, set[tuple[bool, UUID]]]:
    rows = [
        model._default_manager.filter(walk_id__in=walk_ids)
        .order_by()
        .values_list(Value(value=False), "walk_id", "item_id")
        for model in (CheckAnswer, Reading, Count, SealCheck, TopicHeard)
    ]
    photos = Photo.objects.filter(walk_id__in=walk_ids, subject__isnull=False).order_by()
    found: defaultdict[UUID, set[tuple[bool, UUID]]] = defaultdict(set)
    for is_photo, walk_id, question in photos.values_list(Value(value=True), "walk_id", "subject").union(*rows):
        found[walk_id].add((is_photo, question))
    return found
