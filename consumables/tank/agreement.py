"""The fills as numbers, and which of them agree with each other. Pure."""

from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from consumables.tank.curve import TankCurve
from consumables.tank.fills import Array, Fill, standard_uncertainties
from consumables.tank.fitting import Fit, design, fit
from consumables.tank.verdicts import OFF

Numbers = np.ndarray[tuple[int], np.dtype[np.intp]]
# However many are off, two in three are kept: then it is the gauge that is doubted.
KEPT_AT_LEAST = 2 / 3


@dataclass(frozen=True, slots=True)
class Data:
    """The possible fills as arrays: rows of the design, litres, and the standard uncertainty of each in litres."""

    fills: list[Fill]
    rows: Array
    litres: Array
    u: Array
    straight: TankCurve

    @classmethod
    def of(cls, fills: list[Fill], half_width: Decimal, straight: TankCurve) -> "Data":
        u = standard_uncertainties(fills, half_width=float(half_width), capacity=float(straight.capacity))
        litres = np.array([float(fill.litres) for fill in fills])
        return cls(fills, design(fills, straight.spans), litres, u, straight)

    def fitted(self, kept: Numbers, *, widened: float = 1.0) -> Fit:
        """By the fills of these numbers, their uncertainties times `widened`."""
        return fit(self.rows[kept], self.litres[kept], self.u[kept] * widened, float(self.straight.capacity))


def agreeing(data: Data) -> Numbers:
    """Numbers of the fills that agree: the one that is off the most goes first, then all are weighed again."""
    kept = np.arange(len(data.fills), dtype=np.intp)
    while len(kept) > KEPT_AT_LEAST * len(data.fills):
        distances = _distances(data, kept)
        if distances.max() <= OFF:
            break
        kept = np.delete(kept, int(distances.argmax()))
    return kept


def _distances(data: Data, kept: Numbers) -> Array:
    """Each fill's residual against a curve learned without it, in combined standard uncertainties."""
    found = data.fitted(kept)
    rows, u = data.rows[kept], data.u[kept]
    own = np.einsum("ij,jk,ik->i", rows, found.covariance, rows) / u**2
    apart = np.abs(data.litres[kept] - rows @ found.increments)
    return np.asarray(apart / (u * np.sqrt(1 - np.minimum(own, 0.99))))
