"""What a dip-stick shows: two Readings on one scale, where the instrument cannot tell them apart, and what counts."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from consumables.tank.curve import TankCurve

Position = Callable[[Decimal], float]
Grade = Literal["major", "fine"]
Span = tuple[Decimal, Decimal]
QUARTER_LABELS = ("E", "¼", "½", "¾", "F")


@dataclass(frozen=True)
class Tick:
    """A graduation across the blade, with or without its words."""

    at: Decimal
    label: str = ""


@dataclass(frozen=True)
class Level:
    """A Reading on the stick: value and half-width of its uncertainty, and the words on its flag ("47.5", "14 L")."""

    value: Decimal
    half_width: Decimal
    flag: str


@dataclass(frozen=True)
class DipInput:
    """One instrument. `key` is unique on the page: the hatching is named after it. `label` is its sentence in words.

    `low` to `full` is the scale. `ghost` is the last return, shown while nothing is read. `moves` makes the upright
    stick a slider of that Reading: it writes level + `offset` into the input `input_id` (a cylinder on the scale
    weighs its tare as well). `unread` says that there is no value yet.
    """

    key: str
    full: Decimal
    unit: str
    label: str
    major: tuple[Tick, ...] = ()
    minor: tuple[Decimal, ...] = ()
    low: Decimal = Decimal(0)
    pickup: Level | None = None
    back: Level | None = None
    ghost: Decimal | None = None
    counts_when: Literal["less", "more"] = "less"
    moves: Literal["", "pickup", "back"] = ""
    input_id: str = ""
    offset: Decimal = Decimal(0)
    unread: str = "not read yet"


def quarters(full: Decimal, *, between: int = 1) -> tuple[tuple[Tick, ...], tuple[Decimal, ...]]:
    """A fuel gauge: E ¼ ½ ¾ F, and `between` fine graduations in each quarter (1 makes eighths)."""
    major = tuple(Tick(full * i / 4, label) for i, label in enumerate(QUARTER_LABELS))
    count = 4 * (between + 1)
    return major, tuple(full * i / count for i in range(count) if i % (between + 1))


def curve_quarters(litres: Sequence[Decimal], *, between: int = 1) -> tuple[tuple[Tick, ...], tuple[Decimal, ...]]:
    """As quarters(), each graduation at the litres that the tank's curve has there: even places, empty to full."""
    curve = TankCurve(tuple(litres))
    major = tuple(Tick(curve.litres_at(Decimal(i) / 4), label) for i, label in enumerate(QUARTER_LABELS))
    count = 4 * (between + 1)
    return major, tuple(curve.litres_at(Decimal(i) / count) for i in range(count) if i % (between + 1))


def even_ticks(
    full: Decimal, unit: str, *, major: Decimal, minor: Decimal, label_every: int = 1, low: Decimal = Decimal(0)
) -> tuple[tuple[Tick, ...], tuple[Decimal, ...]]:
    """Litres, kilograms, percent, volts: a major graduation each `major`, a fine one each `minor`, the unit at full."""
    places = [low + major * i for i in range(int((full - low) / major) + 1)]
    labels = [f"{place.normalize():f}" if i % label_every == 0 else "" for i, place in enumerate(places)]
    if unit and places[-1] == full and labels[-1]:
        labels[-1] = f"{labels[-1]} {unit}"
    fine = (low + minor * i for i in range(int((full - low) / minor) + 1))
    return tuple(map(Tick, places, labels)), tuple(place for place in fine if place not in places)


def meets(pickup: Level, back: Level) -> bool:
    """The instrument cannot tell the two apart: no difference, no band, no charge."""
    return abs(pickup.value - back.value) <= pickup.half_width + back.half_width


def fringes(dip: DipInput) -> tuple[Span, ...]:
    """Where the instrument cannot tell, lowest first: round a single reading, inward of two, over both if they meet."""
    levels = sorted(filter(None, (dip.pickup, dip.back)), key=lambda level: level.value)
    if len(levels) < 2 or meets(levels[0], levels[1]):
        spans = [(level.value - level.half_width, level.value + level.half_width) for level in levels]
        return ((min(s[0] for s in spans), max(s[1] for s in spans)),) if spans else ()
    lower, upper = levels
    return (lower.value, lower.value + lower.half_width), (upper.value - upper.half_width, upper.value)


def band(dip: DipInput) -> Span | None:
    """What counts: between the fringes, if they do not meet and the change is the one that is charged."""
    if not dip.pickup or not dip.back or meets(dip.pickup, dip.back):
        return None
    if (dip.back.value < dip.pickup.value) != (dip.counts_when == "less"):
        return None
    lower, upper = fringes(dip)
    return lower[1], upper[0]


def clipped(dip: DipInput, span: Span) -> Span:
    return max(span[0], dip.low), min(span[1], dip.full)


def latest(dip: DipInput) -> Level | None:
    return dip.back or dip.pickup


def scale(dip: DipInput, at_low: float, at_full: float) -> Position:
    """Value to coordinate. Raises ValueError for a scale without length."""
    if dip.full <= dip.low:
        raise ValueError(f"A scale from {dip.low} to {dip.full} {dip.unit} has no length; full must be above low.")
    return lambda value: at_low + float((value - dip.low) / (dip.full - dip.low)) * (at_full - at_low)
