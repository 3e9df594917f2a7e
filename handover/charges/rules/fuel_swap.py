"""Fuel over a swap of units: settle each leg, carry the litres over all legs, or waive the leg that failed."""

from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.consumable_rates import FuelRate
from handover.charges.document.legs import Leg
from handover.charges.rules.fuel_level import Dip, Level, levels
from handover.charges.rules.wrong_fuel import drained
from handover.charges.sheet import ZERO, Finding, Why
from handover.charges.workings import Step, equals, minus, plus, spoken


def settled(case: Case, rate: FuelRate) -> tuple[tuple[Level, ...], bool]:
    """The levels that count, and whether they are one balance carried over all legs."""
    kept = tuple(leg for leg in case.legs if not drained(case, leg))
    dropped = tuple(_drained(leg) for leg in case.legs if leg not in kept and leg.fuel is not None)
    policy = _policy(rate, kept)
    read = levels(kept, rate)
    if policy == "carry_litres":
        return (*dropped, *_carried(read, rate)), True
    if policy == "waive_failed_leg":
        read = tuple(_waived_leg(level, last=level.leg is kept[-1]) for level in read)
    return (*dropped, *read), False


def _drained(leg: Leg) -> Level:
    sentence = "Not charged: wrong fuel was in it, so the tank was drained."
    return Level(leg, finding=Finding("FUEL", leg.unit, Why.DRAINED, sentence))


def _policy(rate: FuelRate, legs: tuple[Leg, ...]) -> str:
    """As stated; where it is not, litres are carried after a swap by the operator's cause and legs settled else."""
    if len(legs) < 2:
        return "settle_each_leg"
    if rate.swap_leg_policy is not None:
        return rate.swap_leg_policy
    by_operator = any(leg.swap_cause == "operator" for leg in legs[:-1])
    return "carry_litres" if by_operator else "settle_each_leg"


def _waived_leg(level: Level, *, last: bool) -> Level:
    """A leg that ended by the operator's cause is not charged; one that the customer ended is."""
    if last or level.leg.swap_cause == "customer" or not level.litres:
        return level
    sentence = f"{spoken(level.litres)} L short, not charged: the unit was swapped by the operator's cause."
    return Level(level.leg, level.dip, finding=Finding("FUEL", level.leg.unit, Why.OPERATOR_CAUSED, sentence))


def _carried(levels: tuple[Level, ...], rate: FuelRate) -> tuple[Level, ...]:
    """One balance in litres over every leg read at both ends: handed over less given back.

    Measured against what was handed over, whatever the policy. Each leg's tolerance and doubt add up, in the
    customer's favour. A leg without both readings stays out and keeps its finding.
    """
    both = [(level.leg, level.dip) for level in levels if level.dip is not None]
    unread = tuple(level for level in levels if level.dip is None)
    if len(both) < 1:
        return unread
    steps = tuple(_received(both)) + tuple(_given_back(both))
    net = sum((dip.litres(_short(dip)) for _, dip in both), ZERO)
    return (*unread, _balance(both[-1][0], both, net, steps, rate))


def _short(dip: Dip) -> Decimal:
    return _number(dip.out) - _number(dip.back)


def _number(reading: object) -> Decimal:
    return reading if isinstance(reading, Decimal) else ZERO


def _received(both: list[tuple[Leg, Dip]]) -> list[Step]:
    return [
        plus(dip.litres(_number(dip.out)), "L", f"{leg.unit} left with", f"{leg.path}.fuel.out{dip.suffix}")
        for leg, dip in both
    ]


def _given_back(both: list[tuple[Leg, Dip]]) -> list[Step]:
    return [
        minus(dip.litres(_number(dip.back)), "L", f"{leg.unit} came back with", f"{leg.path}.fuel.in{dip.suffix}")
        for leg, dip in both
    ]


def _balance(last: Leg, both: list[tuple[Leg, Dip]], net: Decimal, steps: tuple[Step, ...], rate: FuelRate) -> Level:
    tolerance = sum((dip.litres(dip.tolerance) for _, dip in both), ZERO)
    doubt = sum((dip.litres(dip.doubt(rate.tolerance_mode)) for _, dip in both), ZERO)
    if net <= 0:
        why = Why.SURPLUS if net else Why.LEVEL
        sentence = (
            f"{spoken(-net)} L more given back than handed over." if net else "As much given back as handed over."
        )
        return Level(last, surplus_l=-net, finding=Finding("FUEL", "all legs", why, sentence))
    if net <= max(tolerance, doubt):
        why = Why.WITHIN_TOLERANCE if net <= tolerance else Why.GAUGE_CANNOT_TELL
        sentence = f"{spoken(net)} L short over all legs, within what the gauges can tell."
        return Level(last, finding=Finding("FUEL", "all legs", why, sentence))
    steps = (*steps, equals(net, "L", "less by, all legs"))
    if doubt:
        off = minus(doubt, "L", "gauges can't tell, yours", "rules.fuel.tolerance_mode")
        steps = (*steps, off, equals(net - doubt, "L", "counts"))
    return Level(last, None, net - doubt, ZERO, steps)
