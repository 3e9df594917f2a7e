"""The tyres of a unit: the plate's pressures in three units, the law's least tread, and what to do with a reading."""

from dataclasses import dataclass
from decimal import Decimal

from consumables.tyres import CHANGE_AT, Axle, Pressure, TreadLimit, pressure_in_all, tread_limit
from fleet.models import Unit
from handover.tyre.forms import PressureForm
from shared.units import quantity, value_in

AXLES: tuple[Axle, ...] = ("front", "rear")


@dataclass(frozen=True, slots=True)
class AxleRow:
    """`plate` is None where nobody entered the pressure, `least_mm` where no limit of the country is kept."""

    axle: Axle
    plate: Pressure | None
    least_mm: Decimal | None
    source: str


@dataclass(frozen=True, slots=True)
class TyrePage:
    """`verdict`: what the pressure that was typed means; empty while none is."""

    unit: Unit
    rows: tuple[AxleRow, ...]
    change_at_mm: Decimal
    form: PressureForm
    verdict: str

    @property
    def has_plate(self) -> bool:
        return all(row.plate for row in self.rows)


def tyre_page(unit: Unit, form: PressureForm) -> TyrePage:
    rows = tuple(_row(unit, axle) for axle in AXLES)
    return TyrePage(unit, rows, value_in(CHANGE_AT, "mm"), form, _verdict(unit, form))


def _plate(unit: Unit, axle: str) -> Decimal | None:
    return unit.layout.tyre_front_bar if axle == "front" else unit.layout.tyre_rear_bar


def _row(unit: Unit, axle: Axle) -> AxleRow:
    bar = _plate(unit, axle)
    limit: TreadLimit | None = tread_limit(unit.branch.country, quantity(unit.layout.max_mass_kg, "kg"), axle)
    return AxleRow(
        axle=axle,
        plate=pressure_in_all(quantity(bar, "bar")) if bar else None,
        least_mm=value_in(limit.least, "mm") if limit else None,
        source=limit.source if limit else "",
    )


def _verdict(unit: Unit, form: PressureForm) -> str:
    if not form.is_bound or not form.is_valid():
        return ""
    bar = _plate(unit, form.cleaned_data["axle"])
    return form.verdict(quantity(bar, "bar")) if bar else ""
