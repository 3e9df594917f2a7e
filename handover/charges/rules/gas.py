"""Gas: by weight, by the cylinder, at a flat price or included; a cylinder that did not come back; one service fee."""

from collections.abc import Iterator
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.consumable_rates import FlatGas, GasRate
from handover.charges.document.legs import Cylinder
from handover.charges.rules.gas_use import Use, cylinders, use_of
from handover.charges.sheet import ZERO, Charge, Finding, Sheet, Why
from handover.charges.workings import spoken, start, times


def gas(case: Case, sheet: Sheet) -> Sheet:
    """Charges GAS by cylinder, CYLINDER for one missing, and GAS_SERVICE once where any gas is charged."""
    rate = case.rules.gas
    if rate is None:
        return sheet.add(findings=_no_rate(case))
    if rate.flat_use is not None:
        charges = [_flat(case, rate.flat_use), *_lost(case, rate)]
        return sheet.add(charges=[charge for charge in charges if charge.raw])
    uses = [use_of(cylinder, rate) for cylinder in cylinders(case)]
    charges, findings = [], [use.finding for use in uses if use.finding is not None]
    for use in uses:
        priced = _priced(case, rate, use)
        if isinstance(priced, Finding):
            findings.append(priced)
        elif priced is not None and priced.raw:
            charges.append(priced)
        charges += _lost_one(case, rate, use.cylinder)
    return sheet.add(charges=[*charges, *_service(case, rate, charges)], findings=findings)


def _no_rate(case: Case) -> Iterator[Finding]:
    for cylinder in cylinders(case):
        yield Finding("GAS", cylinder.id, Why.NO_RULE, "Not charged: the rate card has no price for gas.")


def _priced(case: Case, rate: GasRate, use: Use) -> Charge | Finding | None:
    if not use.used:
        return None
    if rate.policy == "included":
        return Finding("GAS", use.cylinder.id, Why.INCLUDED, f"{spoken(use.used)} kg used; gas is included.")
    if rate.policy == "by_weight":
        return _by_weight(case, rate, use)
    return _by_cylinder(case, rate, use)


def _by_weight(case: Case, rate: GasRate, use: Use) -> Charge:
    price = rate.price_per_kg or ZERO
    step = times(price, f"{case.currency.code}/kg", "gas", "rules.gas.price_per_kg")
    raw = case.money(use.used * price)
    return Charge("GAS", use.cylinder.id, raw, (*use.steps, step), f"{spoken(use.used)} kg used", "", use.used, price)


def _by_cylinder(case: Case, rate: GasRate, use: Use) -> Charge | Finding:
    """One refill when what is left is below the threshold; under `swap` without one, any use is a swap.

    A cylinder handed over below the threshold was no full cylinder, so no full refill is charged for it.
    """
    cylinder = use.cylinder
    if not (cylinder.missing or cylinder.foreign_cylinder):
        above = _above_threshold(rate, cylinder)
        if above is not None:
            return above
    price = rate.refill_price or ZERO
    step = start(price, case.currency.code, "one refill", "rules.gas.refill_price")
    measure = f"{spoken(use.used)} kg used: one refill"
    return Charge("GAS", cylinder.id, case.money(price), (step,), measure, "", use.used)


def _above_threshold(rate: GasRate, cylinder: Cylinder) -> Finding | None:
    threshold = rate.refill_threshold_pct
    if threshold is None:
        return None
    left, right = _content_pct(cylinder.gross_out_kg, cylinder.tare_kg, cylinder.net_kg), _back_pct(rate, cylinder)
    if left is None or right is None:
        sentence = "Not chargeable: without tare and net mass its content is not known."
        return Finding("GAS", cylinder.id, Why.NOT_READ, sentence)
    if left < threshold:
        sentence = f"No refill charged: it left {spoken(left)} % full, below {spoken(threshold)} %."
        return Finding("GAS", cylinder.id, Why.NO_BASELINE, sentence)
    if right >= threshold:
        sentence = f"Still {spoken(right)} % full, not below {spoken(threshold)} %."
        return Finding("GAS", cylinder.id, Why.WITHIN_TOLERANCE, sentence)
    return None


def _back_pct(rate: GasRate, cylinder: Cylinder) -> Decimal | None:
    """Percent full at return; in the instrument mode with the scale's doubt on top, in the customer's favour."""
    extra = (cylinder.half_width_in_kg or ZERO) if rate.tolerance_mode == "instrument" else ZERO
    gross = cylinder.gross_in_kg
    raised = gross + extra if isinstance(gross, Decimal) else gross
    return _content_pct(raised, cylinder.tare_back, cylinder.net_in_kg or cylinder.net_kg)


def _content_pct(gross: object, tare: Decimal | None, net: Decimal | None) -> Decimal | None:
    if not isinstance(gross, Decimal) or tare is None or net is None:
        return None
    return ((gross - tare) * 100 / net).quantize(Decimal("0.001"))


def _lost(case: Case, rate: GasRate) -> Iterator[Charge]:
    for cylinder in cylinders(case):
        yield from _lost_one(case, rate, cylinder)


def _lost_one(case: Case, rate: GasRate, cylinder: Cylinder) -> Iterator[Charge]:
    """A cylinder that did not come back, or of another type: its price, and a credit for what came instead."""
    if not (cylinder.missing or cylinder.foreign_cylinder) or not rate.cylinder_price:
        return
    unit = case.currency.code
    step = start(rate.cylinder_price, unit, "one cylinder", "rules.gas.cylinder_price")
    measure = "another type came back" if cylinder.foreign_cylinder else "did not come back"
    yield Charge("CYLINDER", cylinder.id, case.money(rate.cylinder_price), (step,), measure)


def _flat(case: Case, flat: FlatGas) -> Charge:
    """A flat price for the rental, or for each night between pickup and the agreed return; no weight counts."""
    unit = case.currency.code
    if flat.per == "rental":
        step = start(flat.price, unit, "gas for the rental", "rules.gas.flat_use.price")
        return Charge("GAS", "rental", case.money(flat.price), (step,), "flat price")
    nights = Decimal((case.rental.due_back.local.date() - case.rental.pickup_at.local.date()).days)
    steps = (
        start(nights, "nights", "agreed", "rental.scheduled_return_at"),
        times(flat.price, f"{unit}/night", "gas", "rules.gas.flat_use.price"),
    )
    return Charge("GAS", "rental", case.money(nights * flat.price), steps, f"{nights} nights")


def _service(case: Case, rate: GasRate, charges: list[Charge]) -> Iterator[Charge]:
    if rate.service_fee and any(charge.code == "GAS" for charge in charges):
        step = start(rate.service_fee, case.currency.code, "service fee for gas", "rules.gas.service_fee")
        yield Charge("GAS_SERVICE", "rental", case.money(rate.service_fee), (step,), "filling cylinders")
