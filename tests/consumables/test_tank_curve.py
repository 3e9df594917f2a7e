"""Tank curves: litres for a gauge and back, and what is no curve."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from consumables.tank import NotACurve, TankCurve, straight_line
from consumables.tank.curve import curve_of
from tests.consumables.made import BELLY, D

INCREMENTS = st.lists(st.floats(0, 50), min_size=2, max_size=16).filter(lambda steps: sum(steps) > 0.1)


def test_the_straight_line() -> None:
    line = straight_line(D(90))
    assert line.litres_at(D("0.625")) == D("56.25")
    assert line.part_at(D(45)) == D("0.5")


@pytest.mark.parametrize(
    ("part", "litres"), [("0", "0"), ("0.0625", "8"), ("0.5", "53"), ("0.9375", "85.75"), ("1", "90")]
)
def test_litres_between_knots(part: str, litres: str) -> None:
    assert BELLY.litres_at(D(part)) == D(litres)
    assert BELLY.part_at(D(litres)) == D(part)


def test_beyond_the_ends_there_is_the_end() -> None:
    assert (BELLY.litres_at(D(2)), BELLY.litres_at(D(-1))) == (90, 0)
    assert (BELLY.part_at(D(95)), BELLY.part_at(D(-3))) == (1, 0)


def test_where_a_gauge_stands_still_the_lowest_place_counts() -> None:
    stuck = TankCurve((D(0), D(30), D(30), D(60)))
    assert stuck.part_at(D(30)) == D(1) / 3


@pytest.mark.parametrize("litres", [("0",), ("1", "90"), ("0", "50", "40", "90"), ("0", "0")])
def test_no_curve(litres: tuple[str, ...]) -> None:
    with pytest.raises(NotACurve):
        TankCurve(tuple(map(D, litres)))


def test_a_tank_of_no_litres() -> None:
    with pytest.raises(NotACurve, match="more than 0"):
        straight_line(D(0))


@given(INCREMENTS, st.decimals(0, 1, places=3), st.decimals(0, 1, places=3))
def test_more_on_the_gauge_is_never_less_in_the_tank(steps: list[float], one: D, other: D) -> None:
    curve = curve_of(steps, D(90))
    low, high = sorted((one, other))
    assert curve.litres_at(low) <= curve.litres_at(high)
    assert curve.capacity == 90


@given(INCREMENTS, st.decimals(0, 90, places=1))
def test_litres_to_gauge_to_litres_round_trip(steps: list[float], litres: D) -> None:
    curve = curve_of(steps, D(90))
    assert curve.litres_at(curve.part_at(litres)) == pytest.approx(litres, abs=D("1e-9"))
