"""Combined uncertainty against the examples of JCGM 100:2008, its tables, and JCGM 101:2008.

Figures of H.1 to H.3 from memory; those of H.1 and H.2 agree with two public test suites, H.3's result with one.
"""

from math import cos, inf, sin, sqrt

import numpy as np
import pytest

from consumables.gauge import EIGHTHS, half_width
from consumables.tank.fills import Fill, standard_uncertainties
from consumables.uncertainty import Estimate, combine, coverage_factor, rectangular
from tests.consumables.made import D

pytestmark = [pytest.mark.reference, pytest.mark.source("JCGM 100:2008")]


@pytest.mark.source("JCGM 100:2008, H.1 end-gauge calibration")
def test_h1_end_gauge_in_nanometres() -> None:
    standard, difference = Estimate(50_000_623, 25, 18), Estimate(215, 9.7, 25.6)
    expansion, off, apart, warm = (
        Estimate(11.5e-6, 1.2e-6), Estimate(-0.1, 0.41), Estimate(0, 0.58e-6, 50), Estimate(0, 0.029, 2),
    )  # fmt: skip

    def length(x):
        return x[0] + x[1] - x[0] * (x[4] * x[3] + x[2] * x[5])

    found = combine(length, [standard, difference, expansion, off, apart, warm])
    assert found.value == pytest.approx(50_000_838)
    assert found.u == pytest.approx(32, abs=0.4)
    assert [round(part, 1) for part in found.parts] == [25.0, 9.7, 0.0, 0.0, 2.9, 16.7]
    assert int(found.dof) == 16
    assert found.expanded(0.99).factor == pytest.approx(2.92, abs=0.005)
    assert found.expanded(0.99).half_width == pytest.approx(93, abs=1)


VOLTS = [5.007, 4.994, 5.005, 4.990, 4.999]
AMPERES = [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3]
RADIANS = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433]
MODELS = {
    "R": lambda x: x[0] / x[1] * cos(x[2]),
    "X": lambda x: x[0] / x[1] * sin(x[2]),
    "Z": lambda x: x[0] / x[1],
}


@pytest.mark.source("JCGM 100:2008, H.2 simultaneous resistance and reactance")
@pytest.mark.parametrize(("name", "value", "u"), [("R", 127.732, 0.071), ("X", 219.847, 0.295), ("Z", 254.260, 0.236)])
def test_h2_correlated_inputs(name: str, value: float, u: float) -> None:
    sets = np.array([VOLTS, AMPERES, RADIANS])
    related = np.corrcoef(sets)
    inputs = [Estimate(each.mean(), each.std(ddof=1) / sqrt(5), 4) for each in sets]
    pairs = {(a, b): float(related[a, b]) for a, b in [(0, 1), (0, 2), (1, 2)]}
    found = combine(MODELS[name], inputs, correlations=pairs)
    assert found.value == pytest.approx(value, abs=0.002)
    assert found.u == pytest.approx(u, abs=0.001)
    assert found.dof == 4


@pytest.mark.source("JCGM 100:2008, H.3 calibration of a thermometer")
def test_h3_correction_at_thirty_degrees() -> None:
    intercept, slope = Estimate(-0.1712, 0.0029, 9), Estimate(0.00218, 0.00067, 9)
    found = combine(lambda y: y[0] + y[1] * (30 - 20), [intercept, slope], correlations={(0, 1): -0.930})
    assert found.value == pytest.approx(-0.1494, abs=5e-5)
    assert found.u == pytest.approx(0.0041, abs=5e-5)


@pytest.mark.source("JCGM 100:2008, 4.3.7 and 4.4.5")
@pytest.mark.parametrize(("half", "u"), [(0.40e-6, 0.23e-6), (4.0, 2.3)])
def test_rectangular(half: float, u: float) -> None:
    assert rectangular(half) == pytest.approx(u, rel=0.01)


@pytest.mark.source("NIST TN 1297, table B.1")
@pytest.mark.parametrize(
    ("dof", "t"), [(1, 12.71), (2, 4.30), (5, 2.57), (10, 2.23), (20, 2.09), (50, 2.01), (inf, 1.96)]
)
def test_student_factor(dof: float, t: float) -> None:
    assert coverage_factor(dof) == pytest.approx(t, abs=0.005)


@pytest.mark.source("JCGM 101:2008, 9.2.2")
def test_sum_of_four_standard_inputs() -> None:
    found = combine(sum, [Estimate(0, 1)] * 4)
    assert (found.u, found.expanded().half_width) == (2.0, pytest.approx(3.92, abs=0.01))


def test_a_reading_in_eighths_of_seventy_litres() -> None:
    """Half a graduation is 4.375 L, as a standard uncertainty 2.526 L."""
    litres = half_width(EIGHTHS) * 70
    assert litres == D("4.375")
    assert rectangular(float(litres)) == pytest.approx(2.526, abs=0.001)


@pytest.mark.source("Directive 2014/32/EU, Annex VII, class 0.5")
def test_a_receipt_to_the_click_beats_the_gauge() -> None:
    """17.9 L within 0.5 % and full within a litre: 0.58 L, the gauge before it left out."""
    fill = Fill("a", D("0.75"), D(1), D("17.9"), to_click=True)
    gauge = rectangular(float(half_width(EIGHTHS)) * 70)
    both = standard_uncertainties([fill], half_width=float(half_width(EIGHTHS)), capacity=70)[0]
    assert sqrt(both**2 - gauge**2) == pytest.approx(0.58, abs=0.01)
