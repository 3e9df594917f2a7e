"""The answers of a walk-round that count: of several to one question, the latest. All stay; these are read."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TypeVar
from uuid import UUID

from django.db.models import QuerySet

from handover.photo.models import Photo, PhotoPoint
from handover.walkround.models import (
    Answer,
    CheckAnswer,
    Count,
    MarkFinding,
    Reading,
    SealCheck,
    TopicHeard,
    WalkRound,
)

T = TypeVar("T", bound=Answer)


@dataclass(frozen=True, slots=True)
class Answers:
    """By the id of what was asked. `earlier` holds the answer before the latest, where there were several."""

    checks: dict[UUID, CheckAnswer] = field(default_factory=dict)
    readings: dict[UUID, Reading] = field(default_factory=dict)
    counts: dict[UUID, Count] = field(default_factory=dict)
    seals: dict[UUID, SealCheck] = field(default_factory=dict)
    topics: dict[UUID, TopicHeard] = field(default_factory=dict)
    marks: dict[UUID, MarkFinding] = field(default_factory=dict)
    earlier: dict[UUID, Answer] = field(default_factory=dict)
    photos: list[Photo] = field(default_factory=list)
    # By photo: where marks were tapped on it.
    points: dict[UUID, list[PhotoPoint]] = field(default_factory=dict)

    @property
    def photographed(self) -> set[UUID]:
        """What there is a photo of."""
        return {photo.subject for photo in self.photos if photo.subject}

    def take(self, kept: dict[UUID, T], asked: UUID, row: T) -> None:
        if asked in kept:
            self.earlier[asked] = kept[asked]
        kept[asked] = row


NOTHING = Answers()


def answers_of(walks: Iterable[WalkRound]) -> dict[UUID, Answers]:
    """For each walk-round its answers, in eight queries however many walk-rounds."""
    found = readings_of(walks)
    for check in _rows(CheckAnswer.objects.all(), found):
        found[check.walk_id].take(found[check.walk_id].checks, check.item_id, check)
    for count in _rows(Count.objects.all(), found):
        found[count.walk_id].take(found[count.walk_id].counts, count.item_id, count)
    for seal in _rows(SealCheck.objects.all(), found):
        found[seal.walk_id].take(found[seal.walk_id].seals, seal.item_id, seal)
    for topic in _rows(TopicHeard.objects.all(), found):
        found[topic.walk_id].take(found[topic.walk_id].topics, topic.item_id, topic)
    for finding in _rows(MarkFinding.objects.all(), found):
        found[finding.walk_id].take(found[finding.walk_id].marks, finding.mark_id, finding)
    for photo in Photo.objects.filter(walk_id__in=list(found)).select_related("by").order_by("at", "id"):
        found[photo.walk_id].photos.append(photo)
    for point in PhotoPoint.objects.filter(walk_id__in=list(found)):
        found[point.walk_id].points.setdefault(point.photo_id, []).append(point)
    return found


def readings_of(walks: Iterable[WalkRound]) -> dict[UUID, Answers]:
    """For each walk-round its Readings alone, in one query."""
    found = {walk.pk: Answers() for walk in walks}
    for reading in _rows(Reading.objects.all(), found):
        found[reading.walk_id].take(found[reading.walk_id].readings, reading.item_id, reading)
    return found


def _rows(rows: "QuerySet[T]", walk_ids: Iterable[UUID]) -> "QuerySet[T]":
    """In order of time, so that the latest wins."""
    return rows.filter(walk_id__in=list(walk_ids)).select_related("by").order_by("at", "id")
