"""Damage found on a unit that nobody photographed before it was moved or washed: a manager decides who pays."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from handover.damage.models import MoveVerdict
from handover.photo.models import Photo
from handover.rental.models import Rental
from handover.walkround.models import WalkRound

# Common practice, no source: photos come first, and an hour after the keys the unit may have stood elsewhere.
MEANWHILE = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class Moved:
    """Returns after which a unit was moved before its first photo, and what was decided of their marks."""

    walks: frozenset[UUID]
    verdicts: Mapping[UUID, MoveVerdict]

    def of(self, walk_id: UUID, mark_id: UUID) -> str:
        """As the pricing document says it: empty where there were photos first, else undecided, charged or dropped."""
        if walk_id not in self.walks:
            return ""
        verdict = self.verdicts.get(mark_id)
        return verdict.outcome if verdict else "undecided"


def was_moved_first(walk: WalkRound, taken: Iterable[datetime]) -> bool:
    """After a key drop. `taken` are the times of the return's photos; who brings it in themselves sees it stand."""
    if walk.mode != WalkRound.Mode.KEY_DROP:
        return False
    there = walk.keys_found_at or walk.arrived_at or walk.started_at
    first = min(taken, default=None)
    return walk.moved_first or first is None or first - there > MEANWHILE


def moved_of(rental: Rental, walks: Iterable[WalkRound]) -> Moved:
    """`walks` are those on which its damages were found. Two queries, none without a key drop."""
    alone = [walk for walk in walks if walk.mode == WalkRound.Mode.KEY_DROP]
    if not alone:
        return Moved(frozenset(), {})
    taken: dict[UUID, list[datetime]] = {}
    for walk_id, at in Photo.objects.filter(walk__in=alone).values_list("walk_id", "at"):
        taken.setdefault(walk_id, []).append(at)
    found = frozenset(walk.pk for walk in alone if was_moved_first(walk, taken.get(walk.pk, ())))
    return Moved(found, {row.mark_id: row for row in MoveVerdict.objects.filter(rental=rental).select_related("by")})


def undecided(inputs: Mapping[str, Any], result: Mapping[str, Any]) -> list[str]:
    """Refs of the lines that a statement charges and nobody decided. Pure."""
    open_ = {
        item.get("ref", item["part"])
        for event in inputs.get("events", [])
        for item in event["items"]
        if item.get("moved_first") == "undecided"
    }
    return [line["ref"] for line in result["lines"] if line["code"] == "DAMAGE" and line["ref"] in open_]
