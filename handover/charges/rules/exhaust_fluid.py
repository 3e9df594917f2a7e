"""Exhaust fluid (AUS 32): refilled because its warning came on during the rental."""

from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.consumable_rates import ExhaustFluidRate
from handover.charges.document.legs import ExhaustFluidReadings, Leg
from handover.charges.sheet import Charge, Finding, Sheet, Why
from handover.charges.workings import spoken, start, times


def exhaust_fluid(case: Case, sheet: Sheet) -> Sheet:
    """Charges AUS32 by leg; nothing where the rate card does not name it. No extra for fuel covers it."""
    rate = case.rules.fuel.aus32 if case.rules.fuel is not None else None
    if rate is None:
        return sheet
    for leg in case.legs:
        if leg.aus32 is not None:
            found = _found(case, rate, leg, leg.aus32)
            sheet = sheet.add(charges=[found]) if isinstance(found, Charge) else sheet.add(findings=[found])
    return sheet


def _found(case: Case, rate: ExhaustFluidRate, leg: Leg, fluid: ExhaustFluidReadings) -> Charge | Finding:
    if fluid.warning_out is None:
        return Finding("AUS32", leg.unit, Why.NO_BASELINE, "Not chargeable: the warning was not looked at at pickup.")
    if not fluid.warning_in:
        why = Why.LEVEL if fluid.warning_in is False else Why.NOT_READ
        return Finding("AUS32", leg.unit, why, "Not charged: no warning was seen at return.")
    if fluid.warning_out:
        return Finding("AUS32", leg.unit, Why.OPERATOR_CAUSED, "Not charged: the warning was on when it left.")
    return _refilled(case, rate, leg, fluid.litres)


def _refilled(case: Case, rate: ExhaustFluidRate, leg: Leg, litres: Decimal | None) -> Charge | Finding:
    unit = case.currency.code
    if rate.fixed is not None:
        step = start(rate.fixed, unit, "refill", "rules.fuel.aus32.fixed")
        return Charge("AUS32", leg.unit, case.money(rate.fixed), (step,), "refilled on its warning")
    if litres is None or rate.price_per_litre is None:
        return Finding("AUS32", leg.unit, Why.NOT_PROVEN, "Not chargeable: no litres of the refill were noted.")
    steps = (
        start(litres, "L", "refilled", f"{leg.path}.aus32.litres"),
        times(rate.price_per_litre, f"{unit}/L", "AUS 32", "rules.fuel.aus32.price_per_litre"),
    )
    return Charge("AUS32", leg.unit, case.money(litres * rate.price_per_litre), steps, f"{spoken(litres)} L refilled")
