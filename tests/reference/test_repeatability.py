"""The spread of paired readings: against the chi-square table, analysis of variance, and readers of a known spread."""

import random
from decimal import Decimal

import pytest
from scipy.stats import f_oneway

from handover.insight.repeatability.spread import LIMIT_FACTOR, interval_factors, limit_factor, spread

pytestmark = [pytest.mark.reference]
TRUE_S = 1.5


@pytest.mark.source("NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4, critical values of chi-square")
@pytest.mark.parametrize(
    ("pairs", "lower", "upper"),
    [(1, "0.001", "5.024"), (2, "0.051", "7.378"), (5, "0.831", "12.833"), (10, "3.247", "20.483"),
     (20, "9.591", "34.170"), (30, "16.791", "46.979")],
)  # fmt: skip
def test_the_interval_is_that_of_the_table(pairs: int, lower: str, upper: str) -> None:
    """n s^2 / sigma^2 lies between the 2.5 % and the 97.5 % point with n degrees of freedom. Table to 3 decimals."""
    low, high = interval_factors(pairs)
    assert float(pairs / low**2) == pytest.approx(float(upper), abs=6e-4)
    assert float(pairs / high**2) == pytest.approx(float(lower), abs=6e-4)


@pytest.mark.source("ISO 5725-6:1994, 4.1: the limit is 1.96 times the root of 2 times s, rounded there to 2.8 s")
def test_the_limit() -> None:
    assert limit_factor() == pytest.approx(1.96 * 2**0.5, abs=1e-4)
    assert limit_factor() == pytest.approx(float(LIMIT_FACTOR), abs=0.005)
    assert round(LIMIT_FACTOR, 1) == Decimal("2.8")


@pytest.mark.source("one-way analysis of variance with two readings of each state (scipy.stats.f_oneway)")
def test_pairs_are_the_within_groups_part_of_an_analysis_of_variance() -> None:
    """For groups of two the mean square within groups is sum d^2 / 2n: taken back out of the F of f_oneway."""
    chance = random.Random(5725)  # noqa: S311 (a simulation)
    pairs = [(level + chance.gauss(0, TRUE_S), level + chance.gauss(0, TRUE_S)) for level in range(0, 60, 4)]
    n, means = len(pairs), [(a + b) / 2 for a, b in pairs]
    middle = sum(means) / n
    between = 2 * sum((mean - middle) ** 2 for mean in means) / (n - 1)
    within = between / f_oneway(*pairs).statistic
    found = spread([Decimal(str(b)) - Decimal(str(a)) for a, b in pairs])
    assert float(found.s) ** 2 == pytest.approx(within, rel=1e-9)


@pytest.mark.source("worked out by hand: differences 1, -1, 2, 0 give sum 6, s = root of 6/8")
def test_by_hand() -> None:
    found = spread([Decimal(1), Decimal(-1), Decimal(2), Decimal(0)])
    assert found.s**2 == pytest.approx(Decimal("0.75"))
    assert found.mean == Decimal("0.5")
    assert found.limit == LIMIT_FACTOR * found.s


@pytest.mark.source("simulation: 4,000 samples of 12 pairs with a known standard deviation, seed 27")
def test_the_interval_covers_the_truth_and_the_limit_holds() -> None:
    chance = random.Random(27)  # noqa: S311 (a simulation)
    samples = [[chance.gauss(0, TRUE_S) - chance.gauss(0, TRUE_S) for _ in range(12)] for _ in range(4000)]
    spreads = [spread([Decimal(str(d)) for d in sample]) for sample in samples]
    covered = sum(one.low <= Decimal(str(TRUE_S)) <= one.high for one in spreads) / len(spreads)
    assert covered == pytest.approx(0.95, abs=0.012)
    beyond = sum(abs(d) > limit_factor() * TRUE_S for sample in samples for d in sample) / (12 * len(samples))
    assert beyond == pytest.approx(0.05, abs=0.005)


def test_without_a_pair_there_is_none() -> None:
    with pytest.raises(ValueError, match="no spread"):
        spread([])
