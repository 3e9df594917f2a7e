"""The least squares behind a tank curve: increments between knots, none below zero, drawn to the straight line. Pure.

A curve's departure from the straight line is taken beforehand as a smooth random function, nothing at empty and at
full (a Gaussian process). With no receipt the straight line remains; each receipt pulls as much as it knows. Arrays:
one row a fill, one column a span; litres throughout.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from scipy.linalg import solve_triangular
from scipy.optimize import lsq_linear

from consumables.tank.fills import Array, Fill

# Beforehand a curve may depart from the straight line by a tenth of the tank (one standard deviation in the middle),
# over about a third of the gauge. Chosen on the simulated fleet, where the uncertainty said then meets the errors.
DEPARTURE = 0.1
REACH = 0.3
# The usable litres are known nearly exactly where the curve is learned, and loosely where they are questioned.
KNOWN, QUESTIONED = 1e-3, 0.2
ROUGH = 1e-3


@dataclass(frozen=True, slots=True)
class Fit:
    """increments in litres, 0 or more; covariance of them in litres squared, without the bound at 0 (cautious)."""

    increments: Array
    covariance: Array


def design(fills: Sequence[Fill], spans: int) -> Array:
    """How much of each span a fill has filled, 0 to 1: rows by fill."""
    before, after = np.array([[float(fill.before), float(fill.after)] for fill in fills]).reshape(-1, 2).T
    return _covered(after, spans) - _covered(before, spans)


def _covered(parts: Array, spans: int) -> Array:
    return np.asarray(np.clip(parts[:, None] * spans - np.arange(spans), 0.0, 1.0))


def fit(rows: Array, litres: Array, u: Array, capacity: float, *, capacity_u: float = KNOWN) -> Fit:
    """Weighted least squares with increments >= 0; u is the standard uncertainty of each fill, above 0.

    capacity_u: relative standard uncertainty of the usable litres.
    """
    spans = rows.shape[1]
    pull = _pull(spans, capacity_u) / capacity
    level = np.full(spans, capacity / spans)
    system = np.vstack([rows / u[:, None], pull])
    target = np.concatenate([litres / u, pull @ level])
    solved = lsq_linear(system, target, bounds=(0.0, np.inf), method="bvls")
    return Fit(np.asarray(solved.x), np.asarray(np.linalg.inv(system.T @ system)))


@cache
def _pull(spans: int, capacity_u: float) -> Array:
    """Rows that draw the increments of a tank of one litre to the straight line: the inverse root of their spread."""
    spread = DEPARTURE**2 * _bridge(spans) + (capacity_u / spans) ** 2 + (ROUGH / spans) ** 2 * np.eye(spans)
    return np.asarray(solve_triangular(np.linalg.cholesky(spread), np.eye(spans), lower=True))


def _bridge(spans: int) -> Array:
    """Covariance of the increments of a smooth random function that is 0 at both ends and has variance 1 between."""
    knots = np.linspace(0.0, 1.0, spans + 1)
    kernel = np.exp(-((knots[:, None] - knots[None, :]) ** 2) / (2 * REACH**2))
    ends = [0, spans]
    pinned = kernel - kernel[:, ends] @ np.linalg.inv(kernel[np.ix_(ends, ends)]) @ kernel[ends, :]
    steps = np.diff(np.eye(spans + 1), axis=0)
    return np.asarray(steps @ (pinned / pinned.max()) @ steps.T)


def knot_covariance(increments: Array) -> Array:
    """From the covariance of increments to that of the litres at the knots, empty included."""
    sums = np.vstack([np.zeros(len(increments)), np.tril(np.ones(increments.shape))])
    return np.asarray(sums @ increments @ sums.T)
