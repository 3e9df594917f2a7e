"""Why a unit may not go out: a tyre, a cylinder, a kit or the load, each in one sentence with basis and caution.

The sentences are kept with the hold and printed on the Record, so they are said in the house language.
"""

from datetime import date
from decimal import ROUND_UP, Decimal

from consumables import lpg
from consumables.due import due_check
from consumables.lpg.cylinder import TARE_HALF_WIDTH
from consumables.mass import Payload
from consumables.readable import figure
from consumables.said import Said
from consumables.said import say as _
from consumables.tyres import TreadLimit, tread_check, tread_limit
from handover.walkround.models import Hold
from handover.walkround.sheet import InstrumentAsk, KitAsk
from shared.units import Quantity, quantity, value_in

Cause = Hold.Cause
# Which readings can hold a unit, and under which cause.
CAUSES = {"tread": Cause.TREAD, "gas": Cause.GAS}


def worn_tyre(ask: InstrumentAsk, millimetres: Decimal, *, country: str, max_mass_kg: int) -> str:
    """Below the law's least of the country and mass, or so near that the gauge cannot tell; empty when it may go."""
    limit = _strictest(country, max_mass_kg)
    check = tread_check(quantity(millimetres, "mm"), limit, half_width=quantity(ask.half_width, "mm"))
    if not check.stops:
        return ""
    return str(_("%(tyre)s: %(check)s. The handbook and a tyre trade come first.", tyre=ask.name, check=check.sentence))


def _strictest(country: str, max_mass_kg: int) -> TreadLimit | None:
    """The sheet does not say which axle a tyre is on: where the law tells them apart, the deeper limit counts."""
    mass = quantity(max_mass_kg, "kg")
    limits = [limit for axle in ("front", "rear") if (limit := tread_limit(country, mass, axle))]
    return max(limits, key=lambda limit: value_in(limit.least, "mm"), default=None)


def too_full(ask: InstrumentAsk, gross: Decimal) -> str:
    """More gas than the cylinder may hold, beyond the doubt of scale and tare; empty when it may go."""
    if ask.tare_kg is None or ask.net_kg is None:
        return ""
    cylinder = lpg.Cylinder(ask.serial or ask.name, quantity(ask.tare_kg, "kg"), quantity(ask.net_kg, "kg"))
    try:
        inside = lpg.content(cylinder, quantity(gross, "kg"), scale_half_width=quantity(ask.half_width, "kg"))
    except lpg.AnotherCylinder:
        return ""
    over = lpg.overfilled(cylinder, inside)
    return str(_overfilled(cylinder.serial, over)) if over else ""


def _overfilled(serial: str, over: lpg.Overfilled) -> Said:
    return _(
        "Cylinder %(serial)s holds %(found)s kg by the scale, more than the %(most)s kg stamped on it: it stays here, "
        "shut, outside. A licensed gas trade lets it down; nobody vents it.",
        serial=serial, found=figure(value_in(over.found, "kg")), most=figure(value_in(over.most, "kg")),
    )  # fmt: skip


def least_tread(ask: InstrumentAsk, *, country: str, max_mass_kg: int) -> Decimal | None:
    """Below this a reading stops, in mm: the law's least and the gauge's doubt; None where no limit is kept."""
    limit = _strictest(country, max_mass_kg)
    return value_in(limit.least, "mm") + ask.half_width if limit else None


def most_gross(ask: InstrumentAsk) -> Decimal | None:
    """Above this a cylinder stops, in kg on the scale: its stamped masses and the doubt of both."""
    if ask.tare_kg is None or ask.net_kg is None:
        return None
    return ask.tare_kg + ask.net_kg + ask.half_width + value_in(TARE_HALF_WIDTH, "kg")


def expired_kit(ask: KitAsk, expires_on: date | None, *, leaves_on: date, back_on: date) -> str:
    """Due before the planned return, by the date of the kit that is in the unit; empty when it may go."""
    check = due_check("first_aid" if ask.sealed else "extinguisher", expires_on, leaves_on=leaves_on, back_on=back_on)
    if not check.stops:
        return ""
    return str(
        _("%(kit)s: %(check)s The date on its tag or seal counts, and whoever services it comes first.",
          kit=ask.name, check=check.sentence)
    )  # fmt: skip


def overloaded(payload: Payload, *, people: int) -> str:
    """Over on paper with the planned party and the water it starts with; empty when it may go."""
    if not payload.is_over:
        return ""
    over = -min((value_in(left, "kg") for left in _left(payload)), default=Decimal(0))
    return str(
        _("Overloaded on paper by %(over)s kg with %(people)s people and the water it starts with. %(advice)s",
          over=str(over.quantize(Decimal(1), ROUND_UP)), people=str(people), advice=payload.advice)
    )  # fmt: skip


def _left(payload: Payload) -> list[Quantity]:
    axles = [payload.axles.front, payload.axles.rear] if payload.axles else []
    return [payload.left, *axles]
