"""Combined uncertainty by JCGM 100:2008 (the GUM), for the report. At the counter the plain half-widths are used. Pure.

Values and uncertainties are floats in any one unit per input; the caller turns them into Decimals at the edge.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import floor, inf, isinf, sqrt

import numpy as np
from scipy.special import stdtrit

Model = Callable[[Sequence[float]], float]
Correlations = Mapping[tuple[int, int], float]
COVERAGE = 0.95


@dataclass(frozen=True, slots=True)
class Estimate:
    """An input: its value, standard uncertainty u >= 0 in the same unit, and degrees of freedom > 0."""

    value: float
    u: float
    dof: float = inf

    def __post_init__(self) -> None:
        if not (self.u >= 0 and self.dof > 0):
            raise ValueError(f"No uncertainty: u = {self.u}, degrees of freedom = {self.dof}.")


@dataclass(frozen=True, slots=True)
class Expanded:
    """factor = coverage factor k; half_width = k times the standard uncertainty."""

    half_width: float
    factor: float


@dataclass(frozen=True, slots=True)
class Combined:
    """value, its combined standard uncertainty u, effective degrees of freedom; sensitivities and parts by input.

    A part is |sensitivity| times the input's u: what that input alone would give.
    """

    value: float
    u: float
    dof: float
    sensitivities: tuple[float, ...]
    parts: tuple[float, ...]

    def expanded(self, coverage: float = COVERAGE) -> Expanded:
        """U at a level of confidence between 0 and 1, by Student's t at the degrees of freedom (G.3)."""
        factor = coverage_factor(self.dof, coverage)
        return Expanded(half_width=factor * self.u, factor=factor)


def rectangular(half_width: float) -> float:
    """Standard uncertainty where all values within a half-width are as likely (JCGM 100, 4.3.7): a / sqrt 3."""
    return half_width / sqrt(3)


def coverage_factor(dof: float, coverage: float = COVERAGE) -> float:
    """Two-sided Student t; degrees of freedom are cut to the next lower integer, at least 1 (JCGM 100, G.4.1)."""
    if not 0 < coverage < 1:
        raise ValueError(f"A level of confidence lies between 0 and 1, not {coverage}.")
    return float(stdtrit(1e12 if isinf(dof) else max(1, floor(dof)), (1 + coverage) / 2))


def combine(
    model: Model,
    inputs: Sequence[Estimate],
    *,
    correlations: Correlations | None = None,
    sensitivities: Sequence[float] | None = None,
) -> Combined:
    """The value of a model and its uncertainty by the law of propagation (JCGM 100, 5.1.2 and 5.2.2).

    correlations: coefficients -1 to 1 by pair of input numbers, 0 where none is given. Sensitivities are central
    differences over one standard uncertainty each way (5.1.3, note 2) where they are not given. Degrees of freedom by
    Welch-Satterthwaite (G.2b); that formula wants independent inputs, so with correlated ones the smallest of theirs
    is taken, which is cautious. Raises ValueError where the coefficients cannot be together.
    """
    slopes = tuple(sensitivities) if sensitivities is not None else _slopes(model, inputs)
    signed = np.array([slope * each.u for slope, each in zip(slopes, inputs, strict=True)])
    u = sqrt(max(0.0, float(signed @ _matrix(len(inputs), correlations or {}) @ signed)))
    parts = tuple(abs(float(part)) for part in signed)
    related = any(correlations.values()) if correlations else False
    dof = _smallest(inputs, parts) if related else _welch_satterthwaite(u, inputs, parts)
    return Combined(model([each.value for each in inputs]), u, dof, slopes, parts)


def _slopes(model: Model, inputs: Sequence[Estimate]) -> tuple[float, ...]:
    values = [each.value for each in inputs]
    return tuple(_slope(model, values, place, each.u) for place, each in enumerate(inputs))


def _slope(model: Model, values: list[float], place: int, u: float) -> float:
    step = u or 1e-6 * (abs(values[place]) or 1.0)
    up, down = ([*values[:place], values[place] + sign * step, *values[place + 1 :]] for sign in (1, -1))
    return (model(up) - model(down)) / (2 * step)


def _matrix(size: int, correlations: Correlations) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    matrix = np.eye(size)
    for (one, other), coefficient in correlations.items():
        if one == other or not -1 <= coefficient <= 1:
            raise ValueError(f"Inputs {one} and {other} cannot be correlated by {coefficient}.")
        matrix[one, other] = matrix[other, one] = coefficient
    if np.linalg.eigvalsh(matrix)[0] < -1e-9:
        raise ValueError("These correlations cannot be together: the matrix is not positive semi-definite.")
    return matrix


def _welch_satterthwaite(u: float, inputs: Sequence[Estimate], parts: Sequence[float]) -> float:
    shares = sum(part**4 / each.dof for part, each in zip(parts, inputs, strict=True))
    return u**4 / shares if shares else inf


def _smallest(inputs: Sequence[Estimate], parts: Sequence[float]) -> float:
    return min((each.dof for part, each in zip(parts, inputs, strict=True) if part), default=inf)
