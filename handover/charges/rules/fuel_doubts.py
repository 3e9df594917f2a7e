"""Readings that can be but are worth a question: asked, never forbidden, and never a charge."""

from collections.abc import Iterator
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.consumable_rates import FuelRate
from handover.charges.document.legs import FuelReadings, Leg
from handover.charges.rules.distance import KM_PER_MILE
from handover.charges.rules.fuel_level import Dip, dip_of
from handover.charges.sheet import Finding, Sheet, Why
from handover.charges.workings import spoken

FAR = Decimal(300)  # km that nobody drives on nothing
LITRES_PER_100_KM = (Decimal(5), Decimal(25))  # what a camper uses


def fuel_doubts(case: Case, sheet: Sheet) -> Sheet:
    """Findings to ask about: consumption that no camper has, the same level after far, a level with ignition off."""
    rate = case.rules.fuel
    if rate is None:
        return sheet
    return sheet.add(findings=[doubt for leg in case.legs if leg.fuel for doubt in _doubts(case, rate, leg, leg.fuel)])


def _doubts(case: Case, rate: FuelRate, leg: Leg, fuel: FuelReadings) -> Iterator[Finding]:
    dip = dip_of(fuel, rate)
    if fuel.ignition_off_out or fuel.ignition_off_in:
        yield _ask(leg, "Read with the ignition off: was the gauge alive?")
    if not isinstance(dip.out, Decimal) or not isinstance(dip.back, Decimal) or fuel.refill_mentioned:
        return
    driven = _kilometres(case, leg)
    if driven is None:
        return
    if dip.out == dip.back and driven > FAR:
        yield _ask(leg, f"The same level after {spoken(driven)} km: was it filled up?")
    elif dip.back < dip.out and driven:
        yield from _consumption(leg, dip, dip.out - dip.back, driven)


def _consumption(leg: Leg, dip: Dip, gone: Decimal, driven: Decimal) -> Iterator[Finding]:
    low, high = LITRES_PER_100_KM
    used = dip.litres(gone) * 100 / driven
    if not low <= used <= high:
        rounded = used.quantize(Decimal("0.1"))
        yield _ask(leg, f"{spoken(rounded)} L for each 100 km: {spoken(low)} to {spoken(high)} is usual.")


def _kilometres(case: Case, leg: Leg) -> Decimal | None:
    if leg.odo_out is None or leg.odo_in is None:
        return None
    rate = case.rules.distance
    unit = leg.odo_unit or (rate.unit if rate is not None else "km")
    driven = Decimal(leg.odo_in - leg.odo_out)
    return driven * KM_PER_MILE if unit == "mi" else driven


def _ask(leg: Leg, sentence: str) -> Finding:
    return Finding("FUEL", leg.unit, Why.ASK, sentence)
