"""Gauge scales: what a gauge shows, as a part of full, and how far a reading may be off. Pure.

Readings are in the scale's own graduations: 6.5 of 8, 62 of 100 percent, 2 of 4 lamps. A part of full is a Decimal
from 0 to 1. The half-width is the plain one used at the counter: half a graduation, a whole one on a slope (common
practice of the trade, no source).
"""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from consumables.said import Said
from consumables.said import say as _

Kind = Literal["steps", "percent", "sight", "none"]
FINEST = 1000


class OffScale(ValueError):
    """The gauge cannot show this. Its one argument is the sentence for the field, as Said."""


@dataclass(frozen=True, slots=True)
class GaugeScale:
    """kind: graduations of a needle or bar, percent on a display, sight levels (lamps, rods), or no gauge at all.

    steps: graduations from empty to full, 1 to 1000; 0 for no gauge. Raises ValueError otherwise.
    """

    kind: Kind
    steps: int

    def __post_init__(self) -> None:
        fits = self.steps == 0 if self.kind == "none" else 1 <= self.steps <= FINEST
        if not fits:
            raise ValueError(f"A gauge of kind {self.kind} cannot have {self.steps} steps.")


QUARTERS, EIGHTHS, SIXTEENTHS = (GaugeScale("steps", count) for count in (4, 8, 16))
PERCENT = GaugeScale("percent", 100)
NO_GAUGE = GaugeScale("none", 0)


def scale_of(instrument: str, steps: int) -> GaugeScale:
    """The scale of an instrument as the fleet keeps it: its word (gauge, sight, display) and its graduations."""
    if steps < 1 or instrument == "none":
        return NO_GAUGE
    if instrument == "sight":
        return GaugeScale("sight", steps)
    return PERCENT if steps == PERCENT.steps else GaugeScale("steps", steps)


def part_of_full(scale: GaugeScale, reading: Decimal) -> Decimal:
    """A reading in graduations, between them too (6.5 of 8), as a part of full from 0 to 1. Raises OffScale."""
    if scale.kind == "none":
        raise OffScale(_("There is no gauge here: nothing can be read from it."))
    if not 0 <= reading <= scale.steps:
        reads = {"reading": str(reading), "steps": str(scale.steps)}
        raise OffScale(_("%(reading)s cannot be: this gauge goes from 0 to %(steps)s.", **reads))
    return reading / scale.steps


def reading_at(scale: GaugeScale, part: Decimal) -> Decimal:
    """Where the gauge stands, in graduations, at a part of full from 0 to 1. Raises OffScale."""
    if scale.kind == "none" or not 0 <= part <= 1:
        raise OffScale(_("%(part)s of full cannot be shown on this gauge.", part=str(part)))
    return part * scale.steps


def half_width(scale: GaugeScale, *, on_a_slope: bool = False) -> Decimal:
    """How far a reading may be off each way, as a part of full: half a graduation, a whole one on a slope.

    Without a gauge the level may be anywhere: half of full about the middle.
    """
    if scale.kind == "none":
        return Decimal("0.5")
    return Decimal(2 if on_a_slope else 1) / (2 * scale.steps)


def named(scale: GaugeScale, part: Decimal) -> Said:
    """A part of full as people say it: "5/8", "between 1/2 and 5/8", "62 %". Raises OffScale."""
    reading = reading_at(scale, part)
    if scale.kind == "percent":
        return _("%(percent)s %%", percent=f"{round(reading)}")
    below = int(reading)
    if reading == below:
        return _graduation(below, scale.steps)
    low, high = _graduation(below, scale.steps), _graduation(below + 1, scale.steps)
    return _("between %(low)s and %(high)s", low=low, high=high)


def _graduation(count: int, steps: int) -> Said:
    if count == 0:
        return _("empty")
    if count == steps:
        return _("full")
    return Said("%(part)s", (("part", str(Fraction(count, steps))),))
