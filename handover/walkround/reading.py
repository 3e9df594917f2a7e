"""From what was typed to a value of the instrument, with the doubt it leaves."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.utils.translation import gettext as _

from consumables.fuel import Trip, consumption_check
from consumables.readable import Scale, impossible, impossible_odometer
from consumables.tank.curve import HUNDREDTH, TankCurve
from consumables.unlikely import Beside, below_reported, unlikely_level, unlikely_odometer
from handover.acting import CannotBe
from handover.reported.queries import last_reported_km
from handover.walkround.models import Reading, WalkRound
from handover.walkround.sheet import InstrumentAsk
from shared.phrasebook import said
from shared.quantities import Unreadable, parse_quantity

DIMENSIONS = {"L": "volume", "kg": "mass", "%": "percent", "V": "voltage", "km": "distance", "mm": "length"}


@dataclass(frozen=True, slots=True)
class Taken:
    """value in the unit of the instrument; doubt is a question, empty when nothing looks unlikely."""

    value: Decimal
    doubt: str


def read(walk: WalkRound, ask: InstrumentAsk, typed: str, *, at: datetime) -> Taken:
    """Raises CannotBe with the sentence to show at the field; what was typed stays there."""
    branch = walk.leg.rental.branch
    unit = branch.distance_unit if ask.measures == "odometer" else ask.unit
    try:
        value = _by_curve(ask, typed, _parsed(ask, typed, unit, ask.capacity))
    except Unreadable as problem:
        raise CannotBe(said(str(problem)), "typed") from problem
    if ask.measures == "odometer":
        return _odometer(walk, value, unit, at)
    scale = Scale(
        name=ask.name, measures=ask.measures, unit=ask.unit, capacity=ask.capacity, tare_kg=ask.tare_kg,
        net_kg=ask.net_kg,
    )  # fmt: skip
    if sentence := impossible(scale, value):
        raise CannotBe(f"{said(sentence)}{_so_full(walk, ask, value)}", "typed")
    beside = Beside(_before(walk, ask), _driven(walk), walk.is_return)
    return Taken(value, unlikely_level(scale, value, beside) or _burned(ask, value, beside))


def _so_full(walk: WalkRound, ask: InstrumentAsk, value: Decimal) -> str:
    """A cylinder that does weigh more than a full one is no mistake in reading."""
    if walk.is_return or ask.tare_kg is None or ask.net_kg is None or value <= ask.tare_kg + ask.net_kg:
        return ""
    return " " + _(
        "If it does weigh that it is overfilled and stays here, shut, outside: a licensed gas trade lets it down."
    )


def _parsed(ask: InstrumentAsk, typed: str, unit: str, full: Decimal | None) -> Decimal:
    return parse_quantity(typed, dimension=DIMENSIONS[ask.unit], default_unit=unit, full=full)


def _by_curve(ask: InstrumentAsk, typed: str, value: Decimal) -> Decimal:
    """5/8 typed of a tank with a curve is a place of its gauge, and has the litres of the curve there.

    What grows with the tank was typed as a part of it; litres stay as they were typed.
    """
    if not ask.curve or not ask.capacity or value == _parsed(ask, typed, ask.unit, 2 * ask.capacity):
        return value
    return TankCurve(ask.curve).litres_at(value / ask.capacity).quantize(HUNDREDTH)


def _burned(ask: InstrumentAsk, value: Decimal, beside: Beside) -> str:
    """What the distance says of both fuel readings, where it is known; what was filled on the way is not."""
    if ask.measures != "fuel" or not beside.is_return or beside.before is None or beside.driven_km is None:
        return ""
    trip = Trip(beside.before, value, ask.half_width, max(beside.driven_km, Decimal(0)))
    return str(consumption_check(trip) or "")


def _odometer(walk: WalkRound, km: Decimal, unit: str, at: datetime) -> Taken:
    last = _last_odometer(walk)
    # Once it is finished the unit's own odometer has moved on and says nothing of this walk-round.
    known = None if walk.finished_at else Decimal(walk.leg.unit.odometer_km)
    before_km, since = (last.value, last.at) if last else (known, None)
    if before_km is None:
        return Taken(km, "")
    if sentence := impossible_odometer(km, before_km=before_km, unit=unit):
        raise CannotBe(said(sentence), "typed")
    days = Decimal((at - since).total_seconds()) / 86400 if since else Decimal(365)
    doubt = unlikely_odometer(km, before_km=before_km, days=days, unit=unit)
    reported = last_reported_km(walk.leg.unit, before=at)
    return Taken(km, doubt or below_reported(km, reported_km=reported, unit=unit))


def _last_odometer(walk: WalkRound) -> Reading | None:
    """The latest on an earlier walk-round of this unit: a correction on this one may go down again.

    One that began later says nothing of it: a pickup is also put right once the unit is back.
    """
    readings = Reading.objects.filter(
        walk__leg__unit_id=walk.leg.unit_id, item__measures="odometer", state=Reading.State.READ
    )
    return readings.exclude(walk=walk).filter(walk__started_at__lte=walk.started_at).order_by("at", "id").last()


def _driven(walk: WalkRound) -> Decimal | None:
    """Since the walk-round before, in km; None while the odometer of one of them is not read."""
    if walk.before_id is None or not walk.is_return:
        return None
    read_off = Reading.objects.filter(item__measures="odometer", state=Reading.State.READ).order_by("at", "id")
    now, then = read_off.filter(walk=walk).last(), read_off.filter(walk_id=walk.before_id).last()
    return now.value - then.value if now and then and now.value is not None and then.value is not None else None


def _before(walk: WalkRound, ask: InstrumentAsk) -> Decimal | None:
    if walk.before_id is None:
        return None
    last = Reading.objects.filter(walk_id=walk.before_id, item_id=ask.id, state=Reading.State.READ).last()
    return last.value if last else None
