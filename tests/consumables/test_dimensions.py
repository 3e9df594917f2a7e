"""Sizes and speeds in both systems, to the safe side."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from consumables.dimensions import size_in_both, speed_in_both
from shared.units import quantity, value_in
from tests.consumables.made import D


@pytest.mark.parametrize(
    ("millimetres", "metric", "imperial"),
    [
        (2850, "2.85 m", "9 ft 5 in"),
        (2851, "2.86 m", "9 ft 5 in"),
        (3048, "3.05 m", "10 ft 0 in"),
        (5990, "5.99 m", "19 ft 8 in"),
    ],
)
def test_a_size(millimetres: int, metric: str, imperial: str) -> None:
    found = size_in_both(quantity(millimetres, "mm"))
    assert (found.metric, found.imperial) == (metric, imperial)


@pytest.mark.parametrize(("given_kmh", "imperial"), [("100", "62 mph"), ("80", "49 mph"), ("112.65408", "70 mph")])
def test_a_speed(given_kmh: str, imperial: str) -> None:
    assert speed_in_both(quantity(given_kmh, "km/h")).imperial == imperial


def test_no_size_and_no_speed() -> None:
    with pytest.raises(ValueError, match="above zero"):
        size_in_both(quantity(0, "m"))
    with pytest.raises(ValueError, match="backwards"):
        speed_in_both(quantity(-1, "km/h"))


@given(st.integers(1500, 9000))
def test_what_is_shown_is_never_lower_than_the_unit(millimetres: int) -> None:
    found = size_in_both(quantity(millimetres, "mm"))
    feet, _, inches, _ = found.imperial.split()
    assert D(found.metric.removesuffix(" m")) * 1000 >= millimetres
    assert value_in(quantity(12 * int(feet) + int(inches), "in"), "mm") >= millimetres
