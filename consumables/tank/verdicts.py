"""When receipts and gauge of a unit disagree: the rules, and the sentences with the evidence. Pure."""

from dataclasses import dataclass
from decimal import Decimal

import numpy as np
from scipy.special import chdtri

from consumables.said import say as _
from consumables.tank.fills import Array, Doubt, Fill
from consumables.tank.fitting import QUESTIONED, fit

# A fill is off beyond three combined standard uncertainties.
OFF = 3.0
# Of many fills one in ten may be off before the unit itself is doubted; one alone never is enough.
MANY, LEAST = 0.1, 2
# The scatter is more than chance below one in a thousand.
CHANCE = 0.001
# A few residuals say little about their scatter: the half-width counts as eight more that are as said.
TRUSTED = 8
# The tank's own litres are questioned only when they are seen to within a twentieth.
SEEN_TO = 0.05


@dataclass(frozen=True, slots=True)
class Scatter:
    """ratio: mean square of the residuals in their uncertainties, 1 where all is as said; most: what chance allows.

    widening: by how much the uncertainties of the fills are multiplied for it, 1 or more.
    """

    ratio: float
    most: float
    widening: float


def scatter(residuals: Array, spans: int) -> Scatter:
    """Of residuals in standard uncertainties. Degrees of freedom: fills less spans; with none left nothing is told."""
    free = len(residuals) - spans
    if free < 1:
        return Scatter(ratio=1.0, most=float("inf"), widening=1.0)
    squares = float(residuals @ residuals)
    widening = max(1.0, (squares + TRUSTED) / (free + TRUSTED)) ** 0.5
    return Scatter(ratio=squares / free, most=float(chdtri(free, CHANCE)) / free, widening=widening)


def off_doubt(fill: Fill, *, expected: Decimal, u: Decimal) -> Doubt:
    words = _(
        "The receipt has %(litres)s L; by the gauge it was %(expected)s L, give or take %(u)s L. Set aside.",
        litres=f"{fill.litres:.1f}", expected=f"{expected:.1f}", u=f"{2 * u:.1f}",
    )  # fmt: skip
    return Doubt("off", words, fill.key)


def many_off(off: int, fills: int) -> Doubt | None:
    if off < LEAST or off <= MANY * fills:
        return None
    words = _(
        "%(off)s of %(fills)s receipts do not agree with this gauge. Have the sender looked at, or the receipts.",
        off=str(off), fills=str(fills),
    )  # fmt: skip
    return Doubt("many_off", words)


def scatter_doubt(found: Scatter) -> Doubt | None:
    if found.ratio <= found.most:
        return None
    words = _(
        "The receipts scatter %(times)s times as far as this gauge's half-width explains: it sticks, or it is read "
        "too early. The uncertainty of the curve is widened for it.",
        times=f"{found.ratio**0.5:.1f}",
    )
    return Doubt("scatter", words)


def capacity_doubt(rows: Array, litres: Array, u: Array, capacity: Decimal) -> Doubt | None:
    """When the receipts see another tank than the unit's card says: by more than three standard uncertainties."""
    if not len(rows):
        return None
    found = fit(rows, litres, u, float(capacity), capacity_u=QUESTIONED)
    seen, seen_u = float(found.increments.sum()), float(np.sqrt(found.covariance.sum()))
    if seen_u > SEEN_TO * float(capacity) or abs(seen - float(capacity)) <= OFF * seen_u:
        return None
    words = _(
        "By its receipts this tank holds %(seen)s L, give or take %(u)s L. It is kept as %(tank)s L: which is right?",
        seen=f"{seen:.0f}", u=f"{2 * seen_u:.0f}", tank=f"{capacity:.0f}",
    )  # fmt: skip
    return Doubt("capacity", words)
