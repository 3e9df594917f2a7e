"""Which readings cannot be. Pure: values in, a sentence out or nothing. What is only unlikely is asked: unlikely.py."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

MILE_KM = Decimal("1.609344")
# A stamped tare may be off and a scale is: content may lie a little under nothing or over the net mass.
CONTENT_UNDER = Decimal("0.2")
CONTENT_OVER = Decimal("0.3")
NEW_TREAD_MM = Decimal(20)
BATTERY_VOLTS = (Decimal(8), Decimal(16))


@dataclass(frozen=True, slots=True)
class Scale:
    """What a reading is taken on. capacity in `unit`; tare and net in kg, for gas cylinders."""

    name: str
    measures: str
    unit: str
    capacity: Decimal | None = None
    tare_kg: Decimal | None = None
    net_kg: Decimal | None = None


def impossible(scale: Scale, value: Decimal) -> str:
    """One sentence why the value cannot be on this instrument, what can, and the likely meaning; empty when it can."""
    sentence = _why_not(scale, value)
    return f"{sentence}{_meant(scale, value)}" if sentence else ""


def _why_not(scale: Scale, value: Decimal) -> str:
    if value < 0:
        return f"{figure(value)} {scale.unit} is below zero. {scale.name} reads 0 or more."
    if scale.measures == "gas":
        return _impossible_cylinder(scale, value)
    if scale.measures == "house_battery" and scale.unit == "V":
        return _impossible_battery(scale, value)
    if scale.measures == "tread" and value > NEW_TREAD_MM:
        return f"{figure(value)} mm is deeper than any tread. A new tyre has 7 to 9 mm."
    if scale.capacity is not None and value > scale.capacity:
        full = f"{figure(scale.capacity)} {scale.unit}"
        return f"{figure(value)} {scale.unit} cannot be: {scale.name} is full at {full}."
    return ""


def _impossible_cylinder(scale: Scale, gross: Decimal) -> str:
    if scale.tare_kg is None or scale.net_kg is None:
        return ""
    empty, full = scale.tare_kg, scale.tare_kg + scale.net_kg
    if empty - CONTENT_UNDER <= gross <= full + CONTENT_OVER:
        return ""
    return (
        f"{figure(gross)} kg cannot be right for this cylinder. Full it weighs {figure(full)}, "
        f"empty {figure(empty)}. Weigh again."
    )


def _impossible_battery(scale: Scale, volts: Decimal) -> str:
    low, high = BATTERY_VOLTS
    if low <= volts <= high:
        return ""
    return f"{figure(volts)} V cannot be a 12 V battery. It reads {low} to {high} V."


def _meant(scale: Scale, value: Decimal) -> str:
    """The likely value, only where it can be one: a sign or a point too few, or the gas without its cylinder."""
    likely = [-value] if value < 0 else [value / 10]
    if scale.tare_kg is not None:
        likely.append(value + scale.tare_kg)
    fitting = (guess for guess in likely if guess > 0 and not _why_not(scale, guess))
    return next((f" Did you mean {figure(guess)}?" for guess in fitting), "")


def impossible_odometer(km: Decimal, *, before_km: Decimal, unit: str) -> str:
    """One sentence when the odometer stands lower than it did; distances in km, said in `unit` (km or mi)."""
    if km >= before_km:
        return ""
    now, was = said(km, unit), said(before_km, unit)
    likely = _odometer_meant(km, before_km, unit)
    return f"{now} {unit} is less than the {was} {unit} it left with. Read the odometer again.{likely}"


def _odometer_meant(km: Decimal, before_km: Decimal, unit: str) -> str:
    if unit == "km" and km * MILE_KM >= before_km:
        return " Were these miles? Write mi after the figure."
    wanted = round(in_unit(before_km, unit))
    meant = next((guess for guess in swapped(round(in_unit(km, unit))) if 0 <= guess - wanted < 10_000), None)
    return "" if meant is None else f" Did you mean {thousands(meant)}?"


def swapped(number: int) -> Iterator[int]:
    """The number with two neighbouring digits changed over, from the left."""
    digits = str(number)
    for place in range(len(digits) - 1):
        yield int(digits[:place] + digits[place + 1] + digits[place] + digits[place + 2 :])


def in_unit(km: Decimal, unit: str) -> Decimal:
    return km / MILE_KM if unit == "mi" else km


def said(km: Decimal, unit: str) -> str:
    return thousands(round(in_unit(km, unit)))


def thousands(value: Decimal | int) -> str:
    """41206 as 41 206, with a narrow no-break space."""
    return f"{value:,}".replace(",", "\u202f")


def figure(value: Decimal | int) -> str:
    """A figure without trailing zeros: 11.70 is 11.7, 90.00 is 90."""
    text = f"{Decimal(value):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
