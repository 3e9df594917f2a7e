"""How far a tank came back below what it should hold, by gauge, by litres or by the pump that filled it up."""

from dataclasses import dataclass
from decimal import Decimal

from handover.charges.document.consumable_rates import FuelRate
from handover.charges.document.kinds import NOT_APPLICABLE, NOT_READ, Reading
from handover.charges.document.legs import FuelReadings, Leg
from handover.charges.sheet import ZERO, Finding, Why
from handover.charges.workings import Step, divided, equals, minus, spoken, start, times


@dataclass(frozen=True, slots=True)
class Dip:
    """A tank's two levels on one instrument: in steps of its gauge, or in litres."""

    unit: str
    out: Reading
    back: Reading
    full: Decimal
    tolerance: Decimal
    half_out: Decimal
    half_in: Decimal
    suffix: str
    tank_l: Decimal

    def litres(self, quantity: Decimal) -> Decimal:
        return quantity if self.unit == "L" else quantity * self.tank_l / self.full

    def doubt(self, mode: str) -> Decimal:
        """What is taken off the shortfall in the customer's favour."""
        if mode == "instrument":
            return self.half_out + self.half_in
        return self.tolerance if mode == "deductible" else ZERO


@dataclass(frozen=True, slots=True)
class Level:
    """What one leg's tank says: litres that count as short, litres above the target, or why neither."""

    leg: Leg
    dip: Dip | None = None
    litres: Decimal = ZERO
    surplus_l: Decimal = ZERO
    steps: tuple[Step, ...] = ()
    finding: Finding | None = None


def levels(legs: tuple[Leg, ...], rate: FuelRate) -> tuple[Level, ...]:
    """One level for each leg whose tank was dipped at either end."""
    return tuple(_level(leg, leg.fuel, rate) for leg in legs if leg.fuel is not None and _dipped(leg.fuel))


def _dipped(fuel: FuelReadings) -> bool:
    readings = (fuel.out, fuel.back, fuel.out_l, fuel.back_l)
    return fuel.pump_litres is not None or any(one is not NOT_APPLICABLE for one in readings)


def dip_of(fuel: FuelReadings, rate: FuelRate) -> Dip:
    """The readings on their own scale. A level of 0 with the ignition off is not a reading."""
    tank = fuel.tank_l or ZERO
    if fuel.in_litres or fuel.steps is None:
        tolerance = rate.tolerance_l or (rate.tolerance_steps * tank / fuel.steps if fuel.steps else ZERO)
        out_l, back_l = _lit(fuel.out_l, fuel.ignition_off_out), _lit(fuel.back_l, fuel.ignition_off_in)
        doubts = (fuel.half_width_out_l or ZERO, fuel.half_width_in_l or ZERO)
        return Dip("L", out_l, back_l, tank, tolerance, *doubts, "_l", tank)
    out, back = _lit(fuel.out, fuel.ignition_off_out), _lit(fuel.back, fuel.ignition_off_in)
    doubts = (fuel.half_width_out, fuel.half_width_in)
    return Dip("steps", out, back, fuel.steps, rate.tolerance_steps, *doubts, "", tank)


def _lit(level: Reading, ignition_off: bool) -> Reading:  # noqa: FBT001
    return NOT_READ if ignition_off and level == ZERO else level


def _level(leg: Leg, fuel: FuelReadings, rate: FuelRate) -> Level:
    dip = dip_of(fuel, rate)
    if not isinstance(dip.out, Decimal):
        return Level(leg, finding=_finding(leg, Why.NO_BASELINE, "Not chargeable: no pickup reading of the fuel."))
    if rate.measure == "pump" and fuel.pump_litres is not None:
        return _by_pump(leg, fuel.pump_litres, dip, rate)
    if not isinstance(dip.back, Decimal):
        return Level(leg, finding=_finding(leg, Why.NOT_READ, "Not chargeable: the fuel was not read at return."))
    target, steps = _target(leg, dip, dip.out, rate)
    steps = (*steps, minus(dip.back, dip.unit, "came back with", f"{leg.path}.fuel.in{dip.suffix}"))
    return _judged(leg, dip, target - dip.back, steps, rate)


def _target(leg: Leg, dip: Dip, out: Decimal, rate: FuelRate) -> tuple[Decimal, tuple[Step, ...]]:
    """Full under full_to_full, unless it was handed over below full and the rate card then asks for that level.

    What was not handed over full cannot be asked back full: `out_level` is the rule where nothing is agreed.
    """
    if rate.policy == "full_to_full" and rate.target_when_out_below_full == "full":
        source = f"{leg.path}.fuel.{'tank_l' if dip.unit == 'L' else 'steps'}"
        return dip.full, (start(dip.full, dip.unit, "full, as agreed", source),)
    return out, (start(out, dip.unit, "left with", f"{leg.path}.fuel.out{dip.suffix}"),)


def _by_pump(leg: Leg, pumped: Decimal, dip: Dip, rate: FuelRate) -> Level:
    """Litres by the receipt of the pump that filled it up beat the gauge; room there was at pickup is not owed."""
    out = dip.out if isinstance(dip.out, Decimal) else ZERO
    target, _ = _target(leg, dip, out, rate)
    room = dip.tank_l - dip.litres(target)
    filled = start(pumped, "L", "filled up by the branch", f"{leg.path}.fuel.pump_litres")
    steps: tuple[Step, ...] = (filled,)
    if room:
        steps = (filled, minus(room, "L", "room at pickup", f"{leg.path}.fuel.out{dip.suffix}"))
    half_out = dip.litres(dip.half_out) if room else ZERO
    tolerance = dip.litres(dip.tolerance)
    left = dip.tank_l - pumped
    by_pump = Dip("L", dip.litres(out), left, dip.tank_l, tolerance, half_out, ZERO, dip.suffix, dip.tank_l)
    return _judged(leg, by_pump, pumped - room, steps, rate)


def _judged(leg: Leg, dip: Dip, short: Decimal, steps: tuple[Step, ...], rate: FuelRate) -> Level:
    """Tolerance in every mode is a threshold as well; what doubt is left is taken off in the customer's favour."""
    if short <= 0:
        return _not_short(leg, dip, -short)
    if short <= dip.tolerance:
        sentence = f"{spoken(short)} {dip.unit} short, not above the tolerance of {spoken(dip.tolerance)}."
        return Level(leg, dip, finding=_finding(leg, Why.WITHIN_TOLERANCE, sentence))
    doubt = dip.doubt(rate.tolerance_mode)
    if short <= doubt:
        sentence = f"No difference: gauge can't tell {spoken(short)} {dip.unit}, its two readings meet."
        return Level(leg, dip, finding=_finding(leg, Why.GAUGE_CANNOT_TELL, sentence))
    steps = (*steps, equals(short, dip.unit, "less by"))
    if doubt:
        steps = (*steps, _doubt_step(leg, dip, doubt, rate), equals(short - doubt, dip.unit, "counts"))
    counted = short - doubt
    return Level(leg, dip, dip.litres(counted), ZERO, (*steps, *_into_litres(leg, dip, counted)))


def _doubt_step(leg: Leg, dip: Dip, doubt: Decimal, rate: FuelRate) -> Step:
    if rate.tolerance_mode == "deductible":
        return minus(doubt, dip.unit, "tolerance, yours", "rules.fuel.tolerance_steps")
    widths = f"{spoken(dip.half_out)} + {spoken(dip.half_in)}"
    return minus(doubt, dip.unit, f"gauge can't tell, {widths}, yours", f"{leg.path}.fuel.half_width_in{dip.suffix}")


def _into_litres(leg: Leg, dip: Dip, counted: Decimal) -> tuple[Step, ...]:
    if dip.unit == "L":
        return ()
    return (
        times(dip.tank_l, "L", "tank of this unit", f"{leg.path}.fuel.tank_l"),
        divided(dip.full, "steps", "of its gauge", f"{leg.path}.fuel.steps"),
        equals(dip.litres(counted), "L", "short"),
    )


def _not_short(leg: Leg, dip: Dip, above: Decimal) -> Level:
    if not above:
        return Level(leg, dip, finding=_finding(leg, Why.LEVEL, "No difference: came back with what it left with."))
    litres = dip.litres(above)
    sentence = f"Came back with {spoken(litres)} L more than it had to."
    return Level(leg, dip, surplus_l=litres, finding=_finding(leg, Why.SURPLUS, sentence))


def _finding(leg: Leg, why: Why, sentence: str) -> Finding:
    return Finding("FUEL", leg.unit, why, sentence)
