"""Readings as levels: what a person sees on the stick, and what of a difference counts."""

from dataclasses import dataclass
from decimal import Decimal

from consumables.readable import figure, in_unit
from handover.walkround.sheet import InstrumentAsk

# Waste and cassette fill up on the trip: they come back with more, not less.
FILLS_UP = {"waste_water", "cassette"}
NOT_A_LEVEL = {"odometer", "tread"}


@dataclass(frozen=True, slots=True)
class Shown:
    """A value as people see it, in `unit`: the content of a cylinder, the odometer in the branch's distance unit."""

    value: Decimal
    unit: str

    @property
    def text(self) -> str:
        return f"{self.value} {self.unit}"


@dataclass(frozen=True, slots=True)
class Difference:
    """less_by = out - back; cannot_tell = both half-widths; counts = what is left of it, never below zero."""

    less_by: Decimal
    cannot_tell: Decimal
    counts: Decimal

    @property
    def word(self) -> str:
        if not self.counts:
            return "level"
        return "short" if self.less_by > 0 else "over"


def digits(resolution: Decimal) -> int:
    """Decimals the instrument has: 0.5 gives 1, 1 gives 0."""
    return max(0, -int(resolution.normalize().as_tuple().exponent))


def as_read(value: Decimal, resolution: Decimal) -> str:
    """With the decimals the instrument has, and more only where more were typed: 82 on a half-litre gauge is 82.0."""
    plain = Decimal(figure(value))
    own = -int(plain.as_tuple().exponent)
    return f"{plain:.{max(own, digits(resolution))}f}"


def shown(ask: InstrumentAsk, value: Decimal, *, distance_unit: str) -> Shown:
    if ask.measures == "odometer":
        return Shown(Decimal(round(in_unit(value, distance_unit))), distance_unit)
    level = value - ask.tare_kg if ask.measures == "gas" and ask.tare_kg is not None else value
    return Shown(level.quantize(Decimal(1).scaleb(-digits(ask.resolution))), ask.unit)


def full(ask: InstrumentAsk) -> Decimal | None:
    """The top of the stick, in the unit that is shown."""
    return ask.net_kg if ask.measures == "gas" else ask.capacity


def difference(out: Decimal, back: Decimal, *, half_width: Decimal) -> Difference:
    """Both readings' doubt is the customer's; when the two intervals meet, nothing counts."""
    cannot_tell = 2 * half_width
    less_by = out - back
    return Difference(less_by=less_by, cannot_tell=cannot_tell, counts=max(Decimal(0), abs(less_by) - cannot_tell))
