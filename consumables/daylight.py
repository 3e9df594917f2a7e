"""Sunset and the end of civil dusk at a place on a date, and by when to be parked. Pure.

The Sun's height comes from astral (the equations of the United States' weather service), without its own search: the
evening looked for here is the one that follows the day's noon, after midnight too. Sea-level horizon, upper edge,
ordinary refraction: hills, height and weather shift what is seen, by minutes.
"""

from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from typing import Literal

from astral import Observer
from astral.sun import elevation, noon

from consumables.said import Said
from consumables.said import say as _

# Sunset: the middle of the Sun 50 arc-minutes below the horizon. Civil dusk ends at 6 degrees (definitions of the
# almanac offices).
SET, DUSK = -50 / 60, -6.0
MARGIN = timedelta(minutes=30)
# Against ephem at eleven places: 5 s at most. Air, hills and the height of the place make it minutes.
KNOWN_ERROR = timedelta(minutes=2)
HALF_A_DAY, CLOSE = timedelta(hours=12), timedelta(seconds=1)

Evening = Literal["sets", "polar_day", "polar_night"]


@dataclass(frozen=True, slots=True)
class Daylight:
    """evening: the Sun sets, does not set, or has not risen. sunset and dusk in the place's zone.

    sunset is None on a polar day and in the polar night. dusk (end of civil dusk) is None where it never gets that
    dark, or was never lighter. known_error each way.
    """

    evening: Evening
    sunset: datetime | None
    dusk: datetime | None
    known_error: timedelta = KNOWN_ERROR


def daylight(latitude: float, longitude: float, day: date, zone: tzinfo) -> Daylight:
    """The evening of a date at a place: degrees north (-90 to 90) and east (-180 to 180). Raises ValueError.

    Source of the definitions: the almanac offices (sunset at -50', civil dusk to -6 degrees).
    """
    if not (-90 <= latitude <= 90 and -180 <= longitude <= 180):
        raise ValueError(f"There is no place at {latitude}, {longitude}.")
    place = Observer(latitude, longitude)
    sunset, dusk = (_goes_below(place, day, height) for height in (SET, DUSK))
    return Daylight(_evening(place, day, sunset), _in_zone(sunset, zone), _in_zone(dusk, zone))


def parked_by(light: Daylight, *, margin: timedelta = MARGIN) -> datetime | None:
    """The time by which to stand: sunset less a margin, to the minute before. None where the Sun sets on no clock."""
    if light.sunset is None:
        return None
    return (light.sunset - margin).replace(second=0, microsecond=0)


def evening_note(light: Daylight) -> Said:
    """One sentence for the evening, its basis and error in it; advice."""
    if light.evening == "polar_day":
        return _("The Sun does not set: it is light all night.")
    if light.evening == "polar_night":
        return _("The Sun does not rise: arrive with lights, and have somebody outside when you reverse.")
    if light.dusk is None:
        return _("It does not get dark after sunset. Reckoned for a level horizon, give or take %(minutes)s min.",
                 minutes=_minutes(light.known_error))  # fmt: skip
    return _("Sunset is reckoned for a level horizon, give or take %(minutes)s min; hills and cloud bring it forward.",
             minutes=_minutes(light.known_error))  # fmt: skip


def _minutes(span: timedelta) -> str:
    return str(int(span.total_seconds() // 60))


def _evening(place: Observer, day: date, sunset: datetime | None) -> Evening:
    if sunset is not None:
        return "sets"
    return "polar_day" if _height(place, noon(place, day)) > SET else "polar_night"


def _goes_below(place: Observer, day: date, height: float) -> datetime | None:
    """When the Sun falls through a height between noon and half a day later, by halving; None if it does not."""
    light = noon(place, day)
    dark = light + HALF_A_DAY
    if _height(place, light) <= height or _height(place, dark) > height:
        return None
    while dark - light > CLOSE:
        middle = light + (dark - light) / 2
        light, dark = (middle, dark) if _height(place, middle) > height else (light, middle)
    return dark


def _height(place: Observer, at: datetime) -> float:
    return elevation(place, at, with_refraction=False)


def _in_zone(at: datetime | None, zone: tzinfo) -> datetime | None:
    return at.astimezone(zone) if at else None
