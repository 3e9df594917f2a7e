"""The answers of a walk-round that count: of several to one question, the latest. All stay; these are read."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TypeVar
from uuid import UUID

from django.db.models import QuerySet

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
    """By the id of what was asked."""

    checks: dict[UUID, CheckAnswer] = field(default_factory=dict)
    readings: dict[UUID, Reading] = field(default_factory=dict)
    counts: dict[UUID, Count] = field(default_factory=dict)
    seals: dict[UUID, SealCheck] = field(default_factory=dict)
    topics: dict[UUID, TopicHeard] = field(default_factory=dict)
    marks: dict[UUID, MarkFinding] = field(default_factory=dict)


NOTHING = Answers()


def answers_of(walks: Iterable[WalkRound]) -> dict[UUID, Answers]:
    """For each walk-round its answers, in six queries however many walk-rounds."""
    ids = [walk.pk for walk in walks]
    found = {walk_id: Answers() for walk_id in ids}
    for row in _rows(CheckAnswer.objects, ids):
        found[row.walk_id].checks[row.item_id] = row
    for row in _rows(Reading.objects, ids):
        found[row.walk_id].readings[row.item_id] = row
    for row in _rows(Count.objects, ids):
        found[row.walk_id].counts[row.item_id] = row
    for row in _rows(SealCheck.objects, ids):
        found[row.walk_id].seals[row.item_id] = row
    for row in _rows(TopicHeard.objects, ids):
        found[row.walk_id].topics[row.item_id] = row
    for row in _rows(MarkFinding.objects, ids):
        found[row.walk_id].marks[row.mark_id] = row
    return found


def _rows(rows: "QuerySet[T]", ids: list[UUID]) -> "QuerySet[T]":
    """In order of time, so that the latest wins."""
    return rows.filter(walk_id__in=ids).select_related("by").order_by("at", "id")
