"""Fuel brought back beyond what was owed: not refunded, refunded, or set off against other lines."""

from collections.abc import Iterator
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.consumable_rates import FuelRate
from handover.charges.extra_standing import Standing, covers_fuel, standing_extras
from handover.charges.rules.fuel_level import Level
from handover.charges.rules.fuel_swap import settled
from handover.charges.sheet import ZERO, Charge, Finding, Sheet, Why
from handover.charges.workings import Sign, Step, equals, minus, spoken, times


def refunded_surplus(case: Case, sheet: Sheet) -> Sheet:
    """Credits FUEL_CREDIT under `refund`, at the surplus price or else the price of fuel, up to the most per leg."""
    if case.rules.fuel is None or case.rules.fuel.surplus != "refund":
        return sheet
    return _credited(case, case.rules.fuel, sheet)


def set_off_surplus(case: Case, sheet: Sheet) -> Sheet:
    """Under `set_off` the same, after everything else and never beyond it: it brings the lines to zero at most."""
    if case.rules.fuel is None or case.rules.fuel.surplus != "set_off":
        return sheet
    with_credit = _credited(case, case.rules.fuel, sheet)
    left = max(ZERO, sum((charge.due for charge in sheet.charges), ZERO))
    capped = []
    for charge in with_credit.charges[len(sheet.charges) :]:
        amount = min(-charge.raw, left)
        left -= amount
        capped += [charge if amount == -charge.raw else _capped(case, charge, amount)] if amount else []
    return with_credit.with_charges([*sheet.charges, *capped])


def _capped(case: Case, charge: Charge, amount: Decimal) -> Charge:
    unit = case.currency.code
    full = equals(charge.raw, unit, "surplus")
    cap = Step(Sign.AT_LEAST, -amount, unit, "only against other lines", "rules.fuel.surplus")
    return Charge(charge.code, charge.ref, -amount, (*charge.steps, full, cap), charge.measure, like=charge.like)


def _credited(case: Case, rate: FuelRate, sheet: Sheet) -> Sheet:
    """None with a prepaid tank: the customer paid to be free of the level."""
    levels, carry = settled(case, rate)
    above = [level for level in levels if level.surplus_l]
    if any(how is Standing.VALID and covers_fuel(extra) for extra, how in standing_extras(case)):
        sentence = "Not refunded: the tank is prepaid, so its level is free either way."
        return sheet.add(findings=[Finding("FUEL_CREDIT", one.leg.unit, Why.COVERED, sentence) for one in above])
    return sheet.add(charges=[charge for one in above for charge in _credit(case, rate, one, carry=carry)])


def _credit(case: Case, rate: FuelRate, level: Level, *, carry: bool) -> Iterator[Charge]:
    most = rate.surplus_max_litres
    litres = level.surplus_l if most is None else min(level.surplus_l, most)
    price = rate.surplus_price_per_litre
    source = "rules.fuel.surplus_price_per_litre"
    if price is None:
        price, source = rate.price_per_litre or _pump_price(rate), "rules.fuel.price_per_litre"
    raw = case.money(litres * price)
    if raw:
        steps = _steps(case, level, litres, price, source)
        ref = "all legs" if carry else level.leg.unit
        yield Charge("FUEL_CREDIT", ref, -raw, steps, f"{spoken(litres)} L more than left with", like="FUEL")


def _pump_price(rate: FuelRate) -> Decimal:
    return (rate.pump_price_per_litre or ZERO) * rate.pump_price_factor


def _steps(case: Case, level: Level, litres: Decimal, price: Decimal, source: str) -> tuple[Step, ...]:
    brought = minus(level.surplus_l, "L", "brought back beyond the level", f"{level.leg.path}.fuel.in")
    priced = times(price, f"{case.currency.code}/L", "surplus", source)
    if litres == level.surplus_l:
        return brought, priced
    cap = Step(Sign.AT_LEAST, -litres, "L", "refunded at most", "rules.fuel.surplus_max_litres")
    return brought, cap, priced
