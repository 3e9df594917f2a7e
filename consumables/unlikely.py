"""Questions about readings that can be and seldom are. Pure: values in, one question out or nothing.

A question forbids nothing: the person is there, the program is not. Who says that it is so is kept with the reading.
"""

from dataclasses import dataclass
from decimal import Decimal

from consumables.readable import MILE_KM, Scale, figure, in_unit, said, swapped, thousands

# More than this in a day was not driven: the digits are more likely wrong.
MOST_KM_A_DAY = Decimal(1200)
# No camper drives so far on less than the smallest step of its gauge.
FAR_KM = Decimal(100)
# What the highest published table gives for a full 12 V lithium iron phosphate battery at rest; lead rests below 13.
HIGHEST_AT_REST_V = Decimal("13.6")
GAUGED = {"fuel", "gas"}


@dataclass(frozen=True, slots=True)
class Beside:
    """What the reading is set beside: the one before on this instrument, and the distance since, in km, if known."""

    before: Decimal | None = None
    driven_km: Decimal | None = None
    is_return: bool = False

    @property
    def went_far(self) -> bool:
        return self.driven_km is not None and self.driven_km > FAR_KM


def unlikely_level(scale: Scale, value: Decimal, beside: Beside) -> str:
    """One question, or nothing. A cylinder's values are gross masses, so that two of the same cylinder compare."""
    if scale.measures == "fuel":
        return _of_fuel(scale, value, beside)
    if scale.measures == "house_battery" and scale.unit == "V" and value > HIGHEST_AT_REST_V:
        return (
            f"{figure(value)} V is more than a battery at rest shows: hook-up, sun or engine charge it. "
            "Was it read off charge?"
        )
    if not beside.is_return or beside.before is None or value <= beside.before:
        return ""
    if scale.measures == "gas":
        return f"Heavier than when it left ({figure(beside.before)} kg). Is it the same cylinder, or was it filled?"
    if scale.measures == "tread":
        return f"Deeper than when it left ({figure(beside.before)} mm). Is it the same tyre, and the same place on it?"
    return ""


def _of_fuel(scale: Scale, value: Decimal, beside: Beside) -> str:
    if value == 0:
        return "A gauge reads 0 with the ignition off. Is it on, and has the needle settled?"
    if not beside.is_return or beside.before is None:
        return ""
    if value > beside.before:
        return f"It came back with more than it left with ({figure(beside.before)} {scale.unit}). Was it filled?"
    if value == beside.before and beside.went_far:
        return f"The same as when it left, after {thousands(round(beside.driven_km or 0))} km. Was it filled just now?"
    return ""


def below_reported(km: Decimal, *, reported_km: Decimal | None, unit: str) -> str:
    """One question when the vehicle itself reported more before, beyond rounding to a km or mile; distances in km."""
    if reported_km is None or reported_km - km <= (MILE_KM if unit == "mi" else 1):
        return ""
    return f"The vehicle itself reported {said(reported_km, unit)} {unit} before. Read the odometer again."


def unlikely_odometer(km: Decimal, *, before_km: Decimal, days: Decimal, unit: str) -> str:
    """One question when more was driven than a day holds; days since the reading before, at least one.

    Two neighbouring digits swapped are named where that would give a distance that can be driven.
    """
    days = max(days, Decimal(1))
    driven, most = km - before_km, MOST_KM_A_DAY * days
    if driven <= most:
        return ""
    question = f"That is {said(driven, unit)} {unit} in {figure(round(days))} days."
    wanted = in_unit(before_km, unit)
    for guess in swapped(round(in_unit(km, unit))):
        if 0 <= guess - wanted <= most / (MILE_KM if unit == "mi" else 1):
            return f"{question} Did you mean {thousands(guess)}?"
    return f"{question} Are two digits swapped?"
