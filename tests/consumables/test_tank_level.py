"""Litres taken between two readings, with their combined uncertainty, against a simulation of the same."""

import numpy as np
import pytest

from consumables.gauge import EIGHTHS
from consumables.tank import GaugeReading, learn, straight_line, taken
from tests.consumables.made import BELLY, D, many

OUT, BACK = GaugeReading(D("0.875"), D("0.0625")), GaugeReading(D("0.5"), D("0.0625"))


def test_on_the_straight_line() -> None:
    """Two half-graduations of 90 L: 5.625 L each, as rectangular 3.248, together 4.593."""
    found = taken(straight_line(D(90)), OUT, BACK)
    assert (found.value, found.u) == (pytest.approx(33.75), pytest.approx(4.593, abs=0.001))


def test_through_a_curve() -> None:
    assert taken(BELLY, OUT, BACK).value == pytest.approx(28.5)


def test_the_doubt_of_the_curve_comes_on_top() -> None:
    learned = learn(many(10), EIGHTHS, D(90))
    exact = taken(learned.curve, OUT, BACK)
    assert taken(learned.curve, OUT, BACK, covariance=learned.covariance).u > exact.u


def test_a_curve_that_is_off_cancels_between_equal_readings() -> None:
    learned = learn(many(10), EIGHTHS, D(90))
    sharp = GaugeReading(D("0.5"), D(0))
    assert taken(learned.curve, sharp, sharp, covariance=learned.covariance).u == pytest.approx(0, abs=1e-6)


def test_a_reading_at_full_can_only_be_lower() -> None:
    full = GaugeReading(D(1), D("0.0625"))
    found = taken(BELLY, full, BACK)
    assert found.sensitivities[0] == pytest.approx(8.5 * 8)


def test_against_a_simulation() -> None:
    """JCGM 101: a hundred thousand pairs of readings and curves, propagated one by one."""
    learned = learn(many(10), EIGHTHS, D(90))
    found = taken(learned.curve, OUT, BACK, covariance=learned.covariance)
    random, knots = np.random.default_rng(5), np.linspace(0, 1, 9)
    curves = random.multivariate_normal([float(each) for each in learned.curve.litres], learned.covariance, 100_000)
    parts = [float(each.part) + random.uniform(-0.0625, 0.0625, 100_000) for each in (OUT, BACK)]
    places = [np.minimum((part * 8).astype(int), 7) for part in parts]
    rows = np.arange(100_000)
    out, back = (
        curves[rows, place] + (curves[rows, place + 1] - curves[rows, place]) * (part - knots[place]) * 8
        for part, place in zip(parts, places, strict=True)
    )
    assert found.value == pytest.approx(np.mean(out - back), abs=0.5)
    assert found.u == pytest.approx(np.std(out - back), rel=0.05)
