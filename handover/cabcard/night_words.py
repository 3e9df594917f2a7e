"""What a night of the plan says, short enough for a row: in the language that is active."""

from decimal import ROUND_HALF_UP, Decimal

from django.utils.translation import gettext as _

from consumables.daylight import Daylight, parked_by
from consumables.trip_plan import GasNight, Power, PowerNight, Stop, WaterNight
from shared.dates import clock_text

NONE = Decimal(0)


def be_there_by(light: Daylight | None) -> str:
    if light is None:
        return _("by daylight")
    if light.evening == "polar_day":
        return _("light all night")
    at = parked_by(light)
    return clock_text(at) if at else _("dark: lights on")


def power(night: PowerNight | None, stop: Stop) -> str:
    if night is None:
        return _("not known")
    percent = {"morning": whole(night.morning_pct)}
    if night.advice == Power.PLUG_IN:
        return _("plug in") if stop.mains else _("find mains, plug in")
    if night.advice == Power.MAINS_THERE:
        return _("plug in if you like")
    if night.advice == Power.LASTS:
        return _("battery, %(morning)s %% next day") % percent
    if night.advice == Power.DRIVE:
        return _("battery, drive %(hours)s h more") % {"hours": plain(night.more_drive_h)}
    return _("not enough: use less, or find mains")


def water(night: WaterNight | None) -> str:
    if night is None:
        return _("not known")
    litres = {"litres": whole(night.fresh_l)}
    if night.fill_l > 0:
        fresh = _("fill to %(litres)s L") % litres
    elif night.dry:
        fresh = _("%(litres)s L, fill on the way") % litres
    else:
        fresh = _("%(litres)s L left") % litres
    return ", ".join(part for part in (fresh, waste(night)) if part)


def waste(night: WaterNight) -> str:
    """What to empty; said also when the plan has no dump point in time."""
    if night.empty_waste and night.empty_cassette:
        return _("empty waste, cassette")
    if night.empty_waste:
        return _("empty waste")
    if night.empty_cassette:
        return _("empty cassette")
    return _("find a dump point") if night.full else ""


def gas(night: GasNight | None) -> str:
    if night is None:
        return _("not known")
    left = {"kg": f"{night.left_kg.quantize(Decimal('0.1'), ROUND_HALF_UP)}"}
    return (_("%(kg)s kg, may run out") if night.short else _("%(kg)s kg")) % left


def where(stop: Stop) -> str:
    return stop.place or _("open")


def whole(value: Decimal) -> str:
    return str(value.quantize(Decimal(1), ROUND_HALF_UP))


def plain(value: Decimal) -> str:
    """0.5, 1, 10: never in powers of ten."""
    return f"{value.normalize():f}"
