"""Tread against a limit, pressure against the plate."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from consumables.tyres import (
    TREAD_LIMITS,
    impossible_pressure,
    pressure_check,
    pressure_in_all,
    tread_check,
    tread_limit,
)
from shared.units import quantity, value_in
from tests.consumables.made import D

BRITISH = tread_limit("GB", quantity(3500, "kg"), "front")
PLATE = quantity("5.0", "bar")


def bar(value: str):
    return quantity(value, "bar")


@pytest.mark.parametrize(
    ("depth", "state", "stops"),
    [
        ("1.5", "fails", True), ("1.6", "cannot_tell", True), ("1.7", "cannot_tell", True), ("1.8", "worn", False),
        ("3.0", "good", False),
    ],
)  # fmt: skip
def test_tread(depth: str, state: str, stops: bool) -> None:
    found = tread_check(quantity(depth, "mm"), BRITISH)
    assert (found.state, found.stops) == (state, stops)


def test_a_failed_tread_names_its_law() -> None:
    words = str(tread_check(quantity("1.2", "mm"), BRITISH).sentence)
    assert words.startswith("1.2 mm is below the legal 1.6 mm: this tyre must be changed.")
    assert "reg. 27" in words


def test_a_country_of_no_known_limit_stops_nothing_and_says_so() -> None:
    found = tread_check(quantity(1, "mm"), tread_limit("CH", quantity(3500, "kg"), "rear"))
    assert (found.state, found.limit, found.stops) == ("no_limit", None, False)
    assert "ask a tyre trade" in str(found.sentence)


def test_a_mass_that_no_rule_covers_has_no_limit() -> None:
    assert tread_limit("DE", quantity(4250, "kg"), "front") is None


def test_a_tread_below_nothing() -> None:
    with pytest.raises(ValueError, match="0 mm deep"):
        tread_check(quantity(-1, "mm"), BRITISH)


def test_every_limit_names_its_source() -> None:
    assert all(limit.source and quantity(1, "mm") <= limit.least <= quantity(4, "mm") for limit in TREAD_LIMITS)


@pytest.mark.parametrize(
    ("read", "is_cold", "words"),
    [
        ("4.8", True, "less than the 5.00 bar of the plate"),
        ("4.8", False, "less than the 5.00 bar of the plate"),
        ("5.3", True, "more than the 5.00 bar"),
        ("5.3", False, "Read it again cold"),
    ],
)
def test_pressure_against_the_plate(read: str, is_cold: bool, words: str) -> None:
    assert words in str(pressure_check(bar(read), PLATE, is_cold=is_cold))


@pytest.mark.parametrize("read", ["4.9", "5.0", "5.1"])
def test_within_the_gauges_own_doubt(read: str) -> None:
    assert pressure_check(bar(read), PLATE, is_cold=True) is None


def test_no_pressure_of_a_tyre() -> None:
    assert "0 bar or more" in str(impossible_pressure(bar("-1")))
    assert impossible_pressure(bar("10")) is None


@given(st.decimals(0, 10, places=2))
def test_a_pressure_in_three_units_round_trips(value: D) -> None:
    shown = pressure_in_all(quantity(value, "bar"))
    assert D(shown.bar.removesuffix(" bar")) == value
    assert abs(value_in(quantity(shown.psi.removesuffix(" psi"), "psi"), "bar") - value) <= D("0.035")
    assert abs(value_in(quantity(shown.kpa.removesuffix(" kPa"), "kPa"), "bar") - value) <= D("0.005")


@given(st.decimals(0, 9, places=1), st.decimals(0, 2, places=1))
def test_a_worse_depth_gauge_never_lets_a_tyre_go(depth: D, worse: D) -> None:
    sharp, dull = (tread_check(quantity(depth, "mm"), BRITISH, half_width=quantity(D("0.2") + more, "mm"))
                   for more in (D(0), worse))  # fmt: skip
    assert dull.stops or not sharp.stops
