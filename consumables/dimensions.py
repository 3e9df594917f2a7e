"""Height, width, length and speed in both systems of units, rounded to the safe side. Pure.

A barrier is passed by what is shown: heights and widths go up, speeds go down.
"""

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from shared.units import Quantity, value_in

HUNDREDTH = Decimal("0.01")
# A quotient of exact factors may end a hair below a whole one: 70 mph is not 69.
HAIR = Decimal("1e-9")


@dataclass(frozen=True, slots=True)
class InBoth:
    """The same figure for metric signs and for the others: "2.85 m" and "9 ft 5 in", "100 km/h" and "62 mph"."""

    metric: str
    imperial: str


def size_in_both(length: Quantity) -> InBoth:
    """A height, width or length above zero: up to the next centimetre and the next inch. Raises ValueError."""
    metres = value_in(length, "m")
    if metres <= 0:
        raise ValueError("A vehicle has a size above zero.")
    feet, inches = divmod(int(_near(length, "in").to_integral_value(ROUND_CEILING)), 12)
    return InBoth(f"{metres.quantize(HUNDREDTH, ROUND_CEILING)} m", f"{feet} ft {inches} in")


def speed_in_both(speed: Quantity) -> InBoth:
    """A limit, zero or more: down to the next whole km/h and mph. Raises ValueError."""
    if value_in(speed, "km/h") < 0:
        raise ValueError("A limit is no speed backwards.")
    metric, imperial = (_near(speed, unit).to_integral_value(ROUND_FLOOR) for unit in ("km/h", "mile/h"))
    return InBoth(f"{metric} km/h", f"{imperial} mph")


def _near(given: Quantity, unit: str) -> Decimal:
    return value_in(given, unit).quantize(HAIR)
