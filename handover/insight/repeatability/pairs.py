"""Pairs of readings of one untouched state: read at a return by one person, at the next pickup by another.

Left out: what was copied with one press, what a turnaround job or a fill changed in between, the house battery, which
charges and drains by itself, and the odometer, which a unit moved in the yard goes on counting.
"""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db.models import Exists, F, OuterRef, Subquery

from consumables.models import Fill
from fleet.models import Instrument
from handover.insight.asking import Asked
from handover.insight.metrics.things import latest_of
from handover.turnaround.models import TurnaroundJob
from handover.walkround.models import Reading, WalkRound

MOVES_BY_ITSELF = [Instrument.Measures.HOUSE_BATTERY, Instrument.Measures.ODOMETER]


@dataclass(frozen=True, slots=True)
class Pair:
    """`people` are the two readers by id and name; the difference is later minus earlier, in `unit`."""

    measures: str
    unit: str
    branch: str
    rental: UUID
    people: tuple[tuple[str, str], tuple[str, str]]
    difference: Decimal


def pairs_of(asked: Asked) -> list[Pair]:
    """Of the rentals of the period the pickups that followed a return of the same unit. Read once for a page."""
    return asked.once(_pairs)


def _pairs(asked: Asked) -> list[Pair]:
    """Two queries."""
    later = list(_later(asked))
    earlier = Reading.objects.select_related("by").in_bulk([row.earlier for row in later])
    return [_pair(row, earlier[row.earlier]) for row in later if _is_independent(row, earlier[row.earlier])]


def _later(asked: Asked) -> Any:
    first = Reading.objects.filter(walk=OuterRef("walk__before"), item=OuterRef("item")).order_by("-at", "-id")
    jobs = TurnaroundJob.objects.filter(
        unit=OuterRef("walk__leg__unit"), subject=OuterRef("item"), outcome=TurnaroundJob.Outcome.DONE,
        closed_at__gte=OuterRef("walk__before__started_at"), closed_at__lte=OuterRef("at"),
    )  # fmt: skip
    fills = Fill.objects.filter(
        unit=OuterRef("walk__leg__unit"), instrument=OuterRef("item"),
        at__gte=OuterRef("walk__before__started_at"), at__lte=OuterRef("at"),
    )  # fmt: skip
    rows = Reading.objects.filter(
        asked.due_back("walk__leg__rental__"), walk__kind=WalkRound.Kind.PICKUP, state=Reading.State.READ,
        walk__before__kind=WalkRound.Kind.RETURN, walk__before__leg__unit=F("walk__leg__unit"),
    ).exclude(item__measures__in=MOVES_BY_ITSELF)  # fmt: skip
    rows = latest_of(rows).annotate(earlier=Subquery(first.values("pk")[:1])).filter(earlier__isnull=False)
    return (
        rows.filter(~Exists(jobs), ~Exists(fills))
        .select_related("by", "item", "walk__leg__rental__branch")
        .order_by("at", "id")
    )


def _is_independent(later: Reading, earlier: Reading) -> bool:
    copied = later.in_bulk or earlier.in_bulk
    return earlier.value is not None and earlier.by_id != later.by_id and not copied


def _pair(later: Any, earlier: Reading) -> Pair:
    rental = later.walk.leg.rental
    return Pair(
        later.item.measures, later.item.unit, rental.branch.name, rental.pk,
        ((str(earlier.by_id), str(earlier.by)), (str(later.by_id), str(later.by))), later.value - earlier.value,
    )  # fmt: skip
