"""Everything decided and found at the counter of one rental, of each thing the latest."""

from collections.abc import Mapping
from copy import copy
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from django.db.models import QuerySet

from handover.counter.models import (
    Correction,
    Credit,
    ItemFinding,
    KitUse,
    ObjectionOutcome,
    Reopening,
    Soiling,
    TankFinding,
    Waiver,
)
from handover.rental.models import Rental
from handover.walkround.models import Reading


@dataclass(slots=True)
class Desk:
    rental: Rental
    soiling: dict[str, Soiling] = field(default_factory=dict)
    tanks: TankFinding | None = None
    kits: dict[str, KitUse] = field(default_factory=dict)
    items: dict[UUID, ItemFinding] = field(default_factory=dict)
    waivers: list[Waiver] = field(default_factory=list)
    credits_given: list[Credit] = field(default_factory=list)
    deferred: list[ObjectionOutcome] = field(default_factory=list)
    corrections: dict[UUID, Correction] = field(default_factory=dict)
    reopening: Reopening | None = None

    def corrected(self, readings: Mapping[UUID, Reading]) -> dict[UUID, Reading]:
        """The readings that count, with the corrected value where there is one. The rows stay as they were taken."""
        return {asked: _corrected(row, self.corrections.get(row.pk)) for asked, row in readings.items()}


def desk_of(rental: Rental) -> Desk:
    """Nine queries; four more for the photos of what was found."""
    return Desk(
        rental=rental,
        soiling={row.zone: row for row in _rows(Soiling, rental, "photos")},
        tanks=next(iter([*_rows(TankFinding, rental, "photos")][::-1]), None),
        kits={row.kit: row for row in _rows(KitUse, rental)},
        items={row.item_id: row for row in _rows(ItemFinding, rental, "photos")},
        waivers=list(Waiver.objects.filter(rental=rental, withdrawn_at=None).select_related("by", "second")),
        credits_given=list(_rows(Credit, rental)),
        deferred=_deferred(rental),
        corrections={row.reading_id: row for row in _rows(Correction, rental)},
        reopening=Reopening.objects.filter(rental=rental).select_related("statement").last(),
    )


def _rows(model: type[Any], rental: Rental, *photos: str) -> QuerySet[Any]:
    rows: QuerySet[Any] = model._default_manager.filter(rental=rental)
    return rows.select_related("by").prefetch_related(*photos)


def _deferred(rental: Rental) -> list[ObjectionOutcome]:
    """Objections whose latest outcome is deferred."""
    rows = ObjectionOutcome.objects.filter(rental=rental).select_related("objection", "by")
    latest = {row.objection_id: row for row in rows}
    return [row for row in latest.values() if row.outcome == ObjectionOutcome.Outcome.DEFERRED]


def _corrected(row: Reading, correction: Correction | None) -> Reading:
    if correction is None:
        return row
    changed = copy(row)
    changed.value, changed.by, changed.at = correction.value, correction.by, correction.at
    return changed
