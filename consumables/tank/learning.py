"""Learning a tank curve from fills, with what it is worth and what does not fit. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from consumables.gauge import GaugeScale, OffScale, half_width
from consumables.said import say as _
from consumables.tank.agreement import Data, Numbers, agreeing
from consumables.tank.curve import HUNDREDTH, TankCurve, curve_of, straight_line
from consumables.tank.fills import Array, Doubt, Fill, impossible_fill
from consumables.tank.fitting import Fit, knot_covariance
from consumables.tank.verdicts import capacity_doubt, many_off, off_doubt, scatter, scatter_doubt

COARSE_SPANS, FINE_SPANS = 8, 16
# Beyond these departures, in combined standard uncertainties, the curve is another than the straight line.
TELLING = 2


@dataclass(frozen=True, slots=True)
class Residual:
    """A fill against the learned curve: litres by the receipt less litres by the curve, and the u of that.

    used is False for a fill that was set aside as off.
    """

    fill: Fill
    expected: Decimal
    over: Decimal
    u: Decimal
    used: bool


@dataclass(frozen=True, slots=True)
class Learned:
    """A curve, the standard uncertainty of its litres at each knot, each fill against it, and what is doubted.

    covariance: of the litres at the knots, in litres squared. differs: somewhere the curve departs from the straight
    line by more than twice its uncertainty; while it is False the receipts do not tell the two apart.
    """

    curve: TankCurve
    standard_uncertainty: tuple[Decimal, ...]
    covariance: tuple[tuple[float, ...], ...]
    residuals: tuple[Residual, ...]
    doubts: tuple[Doubt, ...]
    differs: bool

    @property
    def used(self) -> int:
        return sum(residual.used for residual in self.residuals)


def learn(fills: Sequence[Fill], scale: GaugeScale, capacity: Decimal, *, off_by: Decimal | None = None) -> Learned:
    """The tank curve that a unit's fills tell, drawn to the straight line as far as they are few.

    capacity: usable litres, above 0, at which the curve ends. off_by: half-width of a reading as a part of full, by
    default that of the scale. A fill that cannot be, or that lies more than three standard uncertainties off all
    others, is set aside and told. Raises OffScale without a gauge, NotACurve without a capacity.
    """
    if scale.kind == "none":
        raise OffScale(_("There is no gauge here: nothing can be learned about it."))
    straight = straight_line(capacity, COARSE_SPANS if scale.steps <= COARSE_SPANS else FINE_SPANS)
    impossible = [doubt for fill in fills if (doubt := impossible_fill(fill, capacity))]
    left_out = {doubt.key for doubt in impossible}
    data = Data.of([fill for fill in fills if fill.key not in left_out], off_by or half_width(scale), straight)
    return _learned(data, agreeing(data), impossible)


def _learned(data: Data, kept: Numbers, impossible: list[Doubt]) -> Learned:
    first = data.fitted(kept)
    strain = scatter((data.litres[kept] - data.rows[kept] @ first.increments) / data.u[kept], data.straight.spans)
    covariance = knot_covariance(data.fitted(kept, widened=strain.widening).covariance)
    curve = curve_of(first.increments.tolist(), data.straight.capacity)
    residuals = _residuals(data, kept, first)
    off = [off_doubt(each.fill, expected=each.expected, u=each.u) for each in residuals if not each.used]
    doubts = [*impossible, *off, many_off(len(off) + len(impossible), len(data.fills) + len(impossible)),
              scatter_doubt(strain), _capacity_doubt(data, kept)]  # fmt: skip
    u = np.sqrt(np.maximum(covariance.diagonal(), 0.0))
    return Learned(
        curve=curve,
        standard_uncertainty=tuple(Decimal(float(each)).quantize(HUNDREDTH) for each in u),
        covariance=tuple(tuple(map(float, row)) for row in covariance),
        residuals=residuals,
        doubts=tuple(filter(None, doubts)),
        differs=_differs(curve, data.straight, u),
    )


def _residuals(data: Data, kept: Numbers, found: Fit) -> tuple[Residual, ...]:
    """u of each: of the fill and of the curve together."""
    u = np.sqrt(data.u**2 + np.einsum("ij,jk,ik->i", data.rows, found.covariance, data.rows))
    expected = data.rows @ found.increments
    rows = zip(data.fills, expected, u, np.isin(np.arange(len(u)), kept), strict=True)
    return tuple(_residual(fill, float(litres), float(each), used=bool(used)) for fill, litres, each, used in rows)


def _residual(fill: Fill, litres: float, u: float, *, used: bool) -> Residual:
    expected = Decimal(litres).quantize(HUNDREDTH)
    return Residual(fill, expected, fill.litres - expected, Decimal(u).quantize(HUNDREDTH), used)


def _differs(curve: TankCurve, straight: TankCurve, u: Array) -> bool:
    away = [abs(float(one - other)) for one, other in zip(curve.litres, straight.litres, strict=True)]
    return any(distance > TELLING * each > 0 for distance, each in zip(away[1:-1], u[1:-1], strict=True))


def _capacity_doubt(data: Data, kept: Numbers) -> Doubt | None:
    return capacity_doubt(data.rows[kept], data.litres[kept], data.u[kept], data.straight.capacity)
