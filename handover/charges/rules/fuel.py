"""Fuel: what each tank came back short of, at the agreed price, with the service fee where fuel is charged."""

from collections.abc import Iterator
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.consumable_rates import FuelRate
from handover.charges.rules.fuel_level import Level
from handover.charges.rules.fuel_swap import settled
from handover.charges.sheet import ZERO, Charge, Finding, Sheet, Why
from handover.charges.workings import Sign, Step, begun, equals, spoken, start, times


def fuel(case: Case, sheet: Sheet) -> Sheet:
    """Charges FUEL and FUEL_SERVICE, by leg or carried over all legs.

    A tank that held the wrong fuel was drained: its level is not charged. A leg ended by the operator's cause is
    carried into one balance of litres, or not charged, as the rate card says; carried where it is silent.
    """
    rate = case.rules.fuel
    if rate is None:
        return sheet.add(findings=_no_rate(case))
    read, carry = settled(case, rate)
    charges = [charge for level in read for charge in _charges(case, rate, level, carry=carry)]
    findings = [level.finding for level in read if level.finding is not None]
    return sheet.add(charges=_one_fee(charges, rate), findings=findings)


def _no_rate(case: Case) -> Iterator[Finding]:
    for leg in case.legs:
        if leg.fuel is not None:
            yield Finding("FUEL", leg.unit, Why.NO_RULE, "Not charged: the rate card has no price for fuel.")


def _charges(case: Case, rate: FuelRate, level: Level, *, carry: bool) -> Iterator[Charge]:
    if not level.litres:
        return
    ref = "all legs" if carry else level.leg.unit
    priced = _priced(case, rate, level, ref, _fee(case, rate, level, carry=carry))
    if priced.raw:
        yield priced
        yield from _service(case, rate, level, ref, carry=carry)


def _priced(case: Case, rate: FuelRate, level: Level, ref: str, fee: Decimal) -> Charge:
    litres, steps = _rounded_litres(rate, level.litres, level.steps)
    price, price_steps = _price(case, rate)
    raw = case.money(litres * price)
    steps = (*steps, *price_steps)
    floor = _floor(rate, fee)
    if ZERO < raw < floor:
        unit = case.currency.code
        steps = (*steps, equals(raw, unit, "at the price"))
        steps = (*steps, Step(Sign.AT_LEAST, floor, unit, "minimum charge", "rules.fuel.min_charge"))
        raw = case.money(floor)
    return Charge("FUEL", ref, raw, steps, f"{spoken(litres)} L short", ref, litres, price)


def _floor(rate: FuelRate, fee: Decimal) -> Decimal:
    """The least for the fuel alone: the service fee counts towards it only where the rate card says so."""
    if rate.min_charge is None:
        return ZERO
    return rate.min_charge - fee if rate.min_charge_includes_service_fee else rate.min_charge


def _rounded_litres(rate: FuelRate, litres: Decimal, steps: tuple[Step, ...]) -> tuple[Decimal, tuple[Step, ...]]:
    """Not rounded unless stated; to a tenth is half up, as everything that is rounded here."""
    if rate.litres_rounding == "up_to_whole":
        whole = begun(litres, 1)
        return whole, (*steps, Step(Sign.WHOLE, Decimal(1), "L", "whole litres begun", "rules.fuel.litres_rounding"))
    if rate.litres_rounding == "0.1":
        tenths = (litres * 10 + Decimal("0.5")) // 1 / 10
        return tenths, (*steps, equals(tenths.quantize(Decimal("0.1")), "L", "to a tenth"))
    return litres, steps


def _price(case: Case, rate: FuelRate) -> tuple[Decimal, tuple[Step, ...]]:
    """The contract's price, or the pump's price of the day with its factor."""
    unit = f"{case.currency.code}/L"
    if rate.price_per_litre is not None:
        return rate.price_per_litre, (times(rate.price_per_litre, unit, "fuel", "rules.fuel.price_per_litre"),)
    pump = rate.pump_price_per_litre or ZERO
    steps = [times(pump, unit, "pump price of the day", "rules.fuel.pump_price_per_litre")]
    if rate.pump_price_factor != 1:
        steps.append(times(rate.pump_price_factor, "", "agreed factor", "rules.fuel.pump_price_factor"))
    return pump * rate.pump_price_factor, tuple(steps)


def _fee(case: Case, rate: FuelRate, level: Level, *, carry: bool) -> Decimal:
    """No fee for a swap that the operator caused, where the rate card says so."""
    swapped = carry or (level.leg is not case.legs[-1] and level.leg.swap_cause == "operator")
    spared = swapped and len(case.legs) > 1 and not rate.service_fee_on_operator_swap
    return ZERO if spared or rate.service_fee is None else rate.service_fee


def _service(case: Case, rate: FuelRate, level: Level, ref: str, *, carry: bool) -> Iterator[Charge]:
    fee = _fee(case, rate, level, carry=carry)
    if fee:
        step = start(fee, case.currency.code, "service fee for filling up", "rules.fuel.service_fee")
        yield Charge("FUEL_SERVICE", ref, case.money(fee), (step,), "filling up", ref)


def _one_fee(charges: list[Charge], rate: FuelRate) -> list[Charge]:
    """Once for the rental where the fee is not by the leg; it then belongs to every leg's fuel."""
    if rate.service_fee_per == "leg":
        return charges
    kept = [charge for charge in charges if charge.code == "FUEL"]
    fees = [charge for charge in charges if charge.code != "FUEL"][:1]
    return kept + [Charge(fee.code, "rental", fee.raw, fee.steps, fee.measure) for fee in fees]
