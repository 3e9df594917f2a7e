"""The tanks of units with their fills, the curve in use and the one that the receipts tell, in six queries."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple
from uuid import UUID

from django.db.models import QuerySet

from consumables.curves import curves_of
from consumables.gauge import GaugeScale, scale_of
from consumables.models import Fill, TankCurve
from consumables.tank import Learned, learn
from fleet.models import Instrument, Unit

MEASURES = (Instrument.Measures.FUEL, Instrument.Measures.EXHAUST_FLUID)


class Litres(NamedTuple):
    """Of a tank: what goes in, and how far a reading may be off each way."""

    capacity: Decimal
    half_width: Decimal


@dataclass(frozen=True, slots=True)
class Tank:
    """One tank of one unit; capacity and half_width in litres, as the unit has them now. fills: the oldest first."""

    unit: Unit
    instrument: Instrument
    capacity: Decimal
    half_width: Decimal
    fills: tuple[Fill, ...]
    in_use: TankCurve | None
    learned: Learned

    @property
    def scale(self) -> GaugeScale:
        return scale_of(self.instrument.instrument, self.instrument.steps)

    @property
    def is_new(self) -> bool:
        """The receipts tell of another curve than the one that counts now."""
        counts_now = self.in_use.learned_from if self.in_use else 0
        return self.learned.differs and self.learned.used != counts_now


def tanks_of(units: QuerySet[Unit], *, today: date) -> list[Tank]:
    """Every tank of these units that has a gauge and litres, unit by unit."""
    found = list(units.select_related("branch", "layout").prefetch_related("overrides"))
    curves, fills, instruments = curves_of(found, today), _fills(found), _instruments(found)
    return [
        _tank(unit, row, litres, tuple(fills[unit.pk, row.pk]), curves[unit.pk].get(row.code))
        for unit in found
        for row, litres in _gauged(unit, instruments[unit.layout_id])
    ]


def _fills(units: list[Unit]) -> dict[tuple[UUID, UUID], list[Fill]]:
    found: dict[tuple[UUID, UUID], list[Fill]] = defaultdict(list)
    for fill in Fill.objects.filter(unit__in=units).select_related("by").order_by("at", "id"):
        found[fill.unit_id, fill.instrument_id].append(fill)
    return found


def _instruments(units: list[Unit]) -> dict[UUID, list[Instrument]]:
    found: dict[UUID, list[Instrument]] = defaultdict(list)
    rows = Instrument.objects.filter(
        station__layout__in={unit.layout_id for unit in units}, measures__in=MEASURES, unit="L", retired=False
    )
    for row in rows.exclude(steps=0).select_related("station").order_by("-measures", "code"):
        found[row.station.layout_id].append(row)
    return found


def _gauged(unit: Unit, instruments: list[Instrument]) -> Iterator[tuple[Instrument, Litres]]:
    """The instruments of its layout with the litres that this unit has, those without any left out."""
    own = {row.instrument_id: row for row in unit.overrides.all()}
    for row in instruments:
        capacity = _pick(row, own.get(row.pk), "capacity")
        if capacity:
            yield row, Litres(capacity, _pick(row, own.get(row.pk), "half_width") or Decimal(0))


def _pick(row: Instrument, own: Any, name: str) -> Decimal | None:
    override: Decimal | None = getattr(own, name, None)
    kept: Decimal | None = getattr(row, name)
    return kept if override is None else override


def _tank(
    unit: Unit, row: Instrument, litres: Litres, fills: tuple[Fill, ...], in_use: TankCurve | None
) -> Tank:  # fmt: skip
    scale, off_by = scale_of(row.instrument, row.steps), litres.half_width / litres.capacity
    learned = learn([fill.as_learned for fill in fills], scale, litres.capacity, off_by=off_by or None)
    counts = in_use if in_use and in_use.is_learned and in_use.curve.capacity == litres.capacity else None
    return Tank(unit, row, litres.capacity, litres.half_width, fills, counts, learned)
