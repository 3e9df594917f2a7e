"""A tank curve: litres in the tank for each part of full that the gauge shows. Pure.

Piecewise linear between evenly spaced knots, never falling, 0 litres at empty and the usable litres at full. A shape
that the gauge hides, such as the first litres that a needle at full does not show, lies within the outermost knots.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

HUNDREDTH = Decimal("0.01")


class NotACurve(ValueError):
    """These litres are no tank curve."""


@dataclass(frozen=True, slots=True)
class TankCurve:
    """litres at 0, 1/n, ... 1 of the gauge: at least two Decimals from 0 up, never falling. Raises NotACurve."""

    litres: tuple[Decimal, ...]

    def __post_init__(self) -> None:
        if len(self.litres) < 2 or self.litres[0] != 0 or self.litres[-1] <= 0:
            raise NotACurve("A tank curve begins at 0 litres and ends at the usable litres of the tank.")
        if any(low > high for low, high in pairwise(self.litres)):
            raise NotACurve("A tank curve never falls: more on the gauge is not less in the tank.")

    @property
    def capacity(self) -> Decimal:
        return self.litres[-1]

    @property
    def spans(self) -> int:
        return len(self.litres) - 1

    def litres_at(self, part: Decimal) -> Decimal:
        """Litres in the tank at a part of full from 0 to 1; beyond either end the end's."""
        place = min(max(part, Decimal(0)), Decimal(1)) * self.spans
        below = min(int(place), self.spans - 1)
        low, high = self.litres[below], self.litres[below + 1]
        return low + (high - low) * (place - below)

    def part_at(self, litres: Decimal) -> Decimal:
        """The lowest part of full, 0 to 1, at which the tank holds these litres; beyond either end the end's."""
        wanted = min(max(litres, Decimal(0)), self.capacity)
        above = next(place for place, level in enumerate(self.litres) if level >= wanted)
        if above == 0:
            return Decimal(0)
        low, high = self.litres[above - 1], self.litres[above]
        return (above - 1 + (wanted - low) / (high - low)) / self.spans


def straight_line(capacity: Decimal, spans: int = 1) -> TankCurve:
    """As many litres for each part of the gauge: what holds until receipts tell otherwise. Raises NotACurve."""
    if capacity <= 0:
        raise NotACurve("A tank has more than 0 usable litres.")
    return TankCurve(tuple(capacity * place / spans for place in range(spans + 1)))


def curve_of(increments: Sequence[float], capacity: Decimal) -> TankCurve:
    """A curve from the litres of each span, to a hundredth; scaled to end at the usable litres exactly."""
    total = sum(increments)
    reached = [Decimal(0)]
    for place in range(1, len(increments)):
        level = capacity * Decimal(sum(increments[:place]) / total)
        reached.append(min(max(level.quantize(HUNDREDTH), reached[-1]), capacity))
    return TankCurve((*reached, capacity))
