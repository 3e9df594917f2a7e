"""Litres from two readings through a curve, with their combined uncertainty by JCGM 100:2008, for the report. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from consumables.tank.curve import TankCurve
from consumables.uncertainty import Combined, Estimate, combine, rectangular


@dataclass(frozen=True, slots=True)
class GaugeReading:
    """part of full as read, 0 to 1, and the half-width of the reading, also as a part of full."""

    part: Decimal
    half_width: Decimal


def taken(
    curve: TankCurve, out: GaugeReading, back: GaugeReading, *, covariance: Sequence[Sequence[float]] = ()
) -> Combined:
    """Litres that left the tank between two readings (below zero when it was filled), and how well that is known.

    covariance: of the curve's litres at its knots, in litres squared, as learned; without it the curve is taken as
    exact. The two readings are independent; what the curve is off at both is correlated.
    """
    readings = [Estimate(float(each.part), rectangular(float(each.half_width))) for each in (out, back)]
    of_curve = _at(curve, covariance, (out, back)) if covariance else np.zeros((2, 2))
    u = np.sqrt(np.maximum(of_curve.diagonal(), 0.0))
    return combine(
        lambda given: _litres(curve, given[0]) + given[2] - _litres(curve, given[1]) - given[3],
        [*readings, Estimate(0.0, float(u[0])), Estimate(0.0, float(u[1]))],
        correlations={(2, 3): float(np.clip(of_curve[0, 1] / (u[0] * u[1]), -1, 1))} if u.all() else None,
        sensitivities=(_steepness(curve, out), -_steepness(curve, back), 1.0, -1.0),
    )


def _litres(curve: TankCurve, part: float) -> float:
    return float(curve.litres_at(Decimal(part)))


def _steepness(curve: TankCurve, reading: GaugeReading) -> float:
    """Litres for each part of full, over the width of the reading and within the scale; 0 for an exact reading."""
    low = max(reading.part - reading.half_width, Decimal(0))
    high = min(reading.part + reading.half_width, Decimal(1))
    return float((curve.litres_at(high) - curve.litres_at(low)) / (high - low)) if high > low else 0.0


def _at(
    curve: TankCurve, covariance: Sequence[Sequence[float]], readings: Sequence[GaugeReading]
) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Covariance of the curve's litres at the readings: between knots it is interpolated as the litres are."""
    knots = np.linspace(0.0, 1.0, curve.spans + 1)
    weights = [np.interp(float(each.part), knots, row) for each in readings for row in np.eye(len(knots))]
    shares = np.array(weights).reshape(len(readings), len(knots))
    return np.asarray(shares @ np.asarray(covariance) @ shares.T)
