"""The law of propagation: independent and correlated inputs, degrees of freedom, and what cannot be."""

from math import inf, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from consumables.uncertainty import Estimate, combine, coverage_factor

U = st.floats(0, 100)


def difference(x):
    return x[0] - x[1]


def test_independent_inputs_add_in_squares() -> None:
    found = combine(difference, [Estimate(82, 3), Estimate(47, 4)])
    assert (found.value, found.u, found.dof) == (35, pytest.approx(5), inf)
    assert found.sensitivities == (pytest.approx(1), pytest.approx(-1))


@pytest.mark.parametrize(("related", "u"), [(1, 1), (-1, 7), (0.5, sqrt(13))])
def test_what_is_off_together_cancels_in_a_difference(related: float, u: float) -> None:
    found = combine(difference, [Estimate(0, 3), Estimate(0, 4)], correlations={(0, 1): related})
    assert found.u == pytest.approx(u)


def test_given_sensitivities_are_taken() -> None:
    assert combine(difference, [Estimate(0, 3), Estimate(0, 4)], sensitivities=[0, 2]).u == 8


def test_an_exact_input_adds_nothing_but_keeps_its_sensitivity() -> None:
    found = combine(lambda x: 5 * x[0] + x[1], [Estimate(2, 0, 1), Estimate(1, 1)])
    assert (found.u, found.dof) == (pytest.approx(1), inf)
    assert found.sensitivities[0] == pytest.approx(5)


def test_freedom_lies_between_the_least_and_the_sum() -> None:
    found = combine(difference, [Estimate(0, 1, 4), Estimate(0, 1, 4)])
    assert found.dof == pytest.approx(8)
    assert found.expanded().factor == pytest.approx(2.306, abs=1e-3)


def test_correlated_inputs_have_the_least_freedom() -> None:
    found = combine(difference, [Estimate(0, 1, 4), Estimate(0, 1, 9)], correlations={(0, 1): 0.2})
    assert found.dof == 4


def test_a_fraction_of_freedom_is_cut() -> None:
    assert coverage_factor(4.9) == coverage_factor(4)
    assert coverage_factor(0.3) == coverage_factor(1)


@pytest.mark.parametrize("pairs", [{(0, 1): 1.2}, {(0, 0): 0.5}, {(0, 1): 0.9, (1, 2): 0.9, (0, 2): -0.9}])
def test_correlations_that_cannot_be(pairs) -> None:
    with pytest.raises(ValueError, match="correlat"):
        combine(sum, [Estimate(0, 1)] * 3, correlations=pairs)


@pytest.mark.parametrize(("u", "dof"), [(-1, 5), (1, 0), (float("nan"), 5)])
def test_an_uncertainty_that_is_none(u: float, dof: float) -> None:
    with pytest.raises(ValueError, match="No uncertainty"):
        Estimate(1, u, dof)


def test_a_level_of_confidence_is_between_none_and_all() -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        coverage_factor(5, 1.0)


@given(U, U, U)
def test_uncertainty_never_shrinks_when_an_input_gets_worse(one: float, other: float, worse: float) -> None:
    before = combine(difference, [Estimate(1, one), Estimate(1, other)]).u
    after = combine(difference, [Estimate(1, one + worse), Estimate(1, other)]).u
    assert after >= before * (1 - 1e-9)
