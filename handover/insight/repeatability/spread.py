"""The spread of paired readings of one state. Pure.

Each pair gives one degree of freedom. With d the difference of a pair and n pairs, the standard deviation of one
reading is s = sqrt(sum d^2 / (2 n)); n s^2 / sigma^2 is chi-square with n degrees of freedom, which gives the interval.
The limit 2.77 s (1.96 times the root of 2) is what two readings by the book differ by at most in 95 of 100 cases:
the repeatability limit of ISO 5725-6, which rounds it to r = 2.8 s_r. Because the two readers are two people, s is an
intermediate precision (ISO 5725-3, "different operators"), never smaller than true repeatability.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from statistics import NormalDist

from scipy.stats import chi2

CONFIDENCE = 0.95
# 1.95996 times the root of 2.
LIMIT_FACTOR = Decimal("2.77")
# Below so many pairs nobody is compared or named: at 10 the interval still reaches from 0.7 to 1.8 times s.
FEWEST = 10


@dataclass(frozen=True, slots=True)
class Spread:
    """s, its 95 % interval, the limit 2.77 s and the mean of later minus earlier, all in the unit of the readings."""

    pairs: int
    s: Decimal
    low: Decimal
    high: Decimal
    limit: Decimal
    mean: Decimal

    @property
    def is_thin(self) -> bool:
        return self.pairs < FEWEST


def spread(differences: Sequence[Decimal]) -> Spread:
    """Raises ValueError without any pair."""
    n = len(differences)
    if not n:
        raise ValueError("Without a pair there is no spread.")
    s = (sum((d * d for d in differences), Decimal(0)) / (2 * n)).sqrt()
    low, high = (s * factor for factor in interval_factors(n))
    return Spread(n, s, low, high, LIMIT_FACTOR * s, sum(differences, Decimal(0)) / n)


def interval_factors(pairs: int) -> tuple[Decimal, Decimal]:
    """By what s is multiplied for the lower and upper end of its 95 % interval."""
    beyond = (1 - CONFIDENCE) / 2
    upper, lower = chi2.ppf(1 - beyond, pairs), chi2.ppf(beyond, pairs)
    return Decimal(str(pairs / upper)).sqrt(), Decimal(str(pairs / lower)).sqrt()


def limit_factor() -> float:
    """1.96 times the root of 2, unrounded: what LIMIT_FACTOR stands for."""
    return NormalDist().inv_cdf(1 - (1 - CONFIDENCE) / 2) * 2**0.5
