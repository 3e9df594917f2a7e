"""What was used of each gas cylinder, by the scale."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.consumable_rates import GasRate
from handover.charges.document.legs import Cylinder
from handover.charges.sheet import ZERO, Finding, Why
from handover.charges.workings import Step, equals, minus, plus, spoken, start


@dataclass(frozen=True, slots=True)
class Use:
    """Kilograms of one cylinder that count as used, with their steps; or why none do."""

    cylinder: Cylinder
    used: Decimal = ZERO
    steps: tuple[Step, ...] = ()
    finding: Finding | None = None


def cylinders(case: Case) -> Iterator[Cylinder]:
    for leg in case.legs:
        yield from leg.gas


def use_of(cylinder: Cylinder, rate: GasRate) -> Use:
    """What is gone: gross out less gross in; each content by its own tare when another cylinder came back."""
    if not isinstance(cylinder.gross_out_kg, Decimal):
        return _none(cylinder, Why.NO_BASELINE, "Not chargeable: no pickup weight of this cylinder.")
    if cylinder.missing or cylinder.foreign_cylinder:
        return _whole_content(cylinder, cylinder.gross_out_kg)
    if not isinstance(cylinder.gross_in_kg, Decimal):
        return _none(cylinder, Why.NOT_READ, "Not chargeable: this cylinder was not weighed at return.")
    if cylinder.exchanged and None in (cylinder.tare_kg, cylinder.tare_back):
        return _none(cylinder, Why.NOT_READ, "Not chargeable: another cylinder came back and a tare is not known.")
    steps = _weighings(cylinder, cylinder.gross_out_kg, cylinder.gross_in_kg)
    gone = cylinder.gross_out_kg - cylinder.gross_in_kg
    if cylinder.exchanged:
        gone += (cylinder.tare_back or ZERO) - (cylinder.tare_kg or ZERO)
    return _judged(cylinder, gone, steps, rate)


def _whole_content(cylinder: Cylinder, gross: Decimal) -> Use:
    if cylinder.tare_kg is None:
        return _none(cylinder, Why.NO_BASELINE, "Its content is not chargeable: no tare was noted at pickup.")
    content = max(ZERO, gross - cylinder.tare_kg)
    steps = (
        start(gross, "kg", "gross at pickup", f"{cylinder.path}.gross_out_kg"),
        minus(cylinder.tare_kg, "kg", "tare", f"{cylinder.path}.tare_kg"),
        equals(content, "kg", "content at pickup"),
    )
    if not content:
        return _none(cylinder, Why.LEVEL, "Its content is not charged: it left empty.")
    return Use(cylinder, content, steps)


def _weighings(cylinder: Cylinder, gross_out: Decimal, gross_in: Decimal) -> tuple[Step, ...]:
    left = start(gross_out, "kg", "left with, gross", f"{cylinder.path}.gross_out_kg")
    back = minus(gross_in, "kg", "came back with, gross", f"{cylinder.path}.gross_in_kg")
    if not cylinder.exchanged:
        return left, back
    less = minus(cylinder.tare_kg or ZERO, "kg", "tare of the one that left", f"{cylinder.path}.tare_kg")
    more = plus(cylinder.tare_back or ZERO, "kg", "tare of the one that came back", f"{cylinder.path}.tare_in_kg")
    return left, less, back, more


def _judged(cylinder: Cylinder, gone: Decimal, steps: tuple[Step, ...], rate: GasRate) -> Use:
    if gone <= 0:
        why = Why.SURPLUS if gone else Why.LEVEL
        sentence = f"Came back {spoken(-gone)} kg fuller." if gone else "No difference: it weighs what it weighed."
        return _none(cylinder, why, sentence)
    if gone <= rate.tolerance_kg:
        limit = spoken(rate.tolerance_kg)
        return _none(cylinder, Why.WITHIN_TOLERANCE, f"{spoken(gone)} kg less, not above the tolerance of {limit} kg.")
    doubt = _doubt(cylinder, rate)
    if gone <= doubt:
        sentence = f"No difference: the scale can't tell {spoken(gone)} kg, its two readings meet."
        return _none(cylinder, Why.GAUGE_CANNOT_TELL, sentence)
    steps = (*steps, equals(gone, "kg", "less by"))
    if doubt:
        off = minus(doubt, "kg", "scale can't tell, yours", f"{cylinder.path}.half_width_in_kg")
        if rate.tolerance_mode == "deductible":
            off = minus(doubt, "kg", "tolerance, yours", "rules.gas.tolerance_kg")
        steps = (*steps, off, equals(gone - doubt, "kg", "counts"))
    return Use(cylinder, gone - doubt, steps)


def _doubt(cylinder: Cylinder, rate: GasRate) -> Decimal:
    if rate.tolerance_mode == "instrument":
        return (cylinder.half_width_out_kg or ZERO) + (cylinder.half_width_in_kg or ZERO)
    return rate.tolerance_kg if rate.tolerance_mode == "deductible" else ZERO


def _none(cylinder: Cylinder, why: Why, sentence: str) -> Use:
    return Use(cylinder, finding=Finding("GAS", cylinder.id, why, sentence))
