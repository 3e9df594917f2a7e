"""Volume at 15 °C, and what distance and levels say of each other."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from consumables.fuel import Trip, consumption_check, mass_of, volume_at_15
from shared.units import quantity, value_in
from tests.consumables.made import D


def trip(out: str, back: str, km: str, *, filled: str | None = None, half_width: str = "1.5") -> Trip:
    return Trip(D(out), D(back), D(half_width), D(km), D(filled) if filled else None)


def said(given: Trip) -> str:
    return str(consumption_check(given) or "")


@pytest.mark.parametrize("liquid", ["diesel", "petrol", "exhaust_fluid"])
def test_at_fifteen_degrees_nothing_changes_and_warm_is_less(liquid) -> None:
    litres = [value_in(volume_at_15(quantity(60, "L"), quantity(at, "degC"), liquid), "L") for at in (0, 15, 30)]
    assert litres[0] > 60 == litres[1] > litres[2] > 58


def test_petrol_grows_more_than_diesel() -> None:
    petrol, diesel = (volume_at_15(quantity(60, "L"), quantity(30, "degC"), kind) for kind in ("petrol", "diesel"))
    assert petrol < diesel


def test_no_temperature_of_a_tank() -> None:
    with pytest.raises(ValueError, match="no temperature"):
        volume_at_15(quantity(60, "L"), quantity(150, "degC"), "diesel")


def test_mass_of_a_litre() -> None:
    assert value_in(mass_of(quantity(1, "L"), "diesel"), "kg") == D("0.835")


@pytest.mark.parametrize(
    "plausible",
    [
        trip("82", "40", "420"),
        trip("82", "82", "600"),  # filled on the way, nobody says how much
        trip("82", "80", "610", filled="58"),
        trip("82", "80", "5"),
        trip("40", "82", "10"),
    ],
)
def test_what_can_be_is_not_asked(plausible: Trip) -> None:
    assert consumption_check(plausible) is None


def test_a_level_that_fell_too_far() -> None:
    assert said(trip("82", "20", "100")) == (
        "62 L for 100 km is more than a camper burns (5 to 25 L): is a level misread, or the odometer?"
    )


def test_a_distance_without_its_fuel() -> None:
    assert said(trip("82", "80", "900", filled="10")).startswith("1 L for 100 km is less than a camper burns")


def test_a_level_that_fell_while_standing() -> None:
    assert said(trip("82", "60", "4")) == "The level fell by 22 L in 4 km. Is a level misread, or the odometer?"


def test_both_readings_doubt_is_the_trips() -> None:
    assert said(trip("60", "30", "100", half_width="1"))
    assert not said(trip("60", "30", "100", half_width="3"))


def test_a_distance_below_zero_cannot_be() -> None:
    with pytest.raises(ValueError, match="cannot be"):
        consumption_check(trip("82", "80", "-1"))


@given(st.decimals(0, 90, places=1), st.decimals(0, 90, places=1), st.integers(0, 2000), st.decimals(0, 20, places=1))
def test_a_worse_gauge_never_asks_more(out: D, back: D, km: int, worse: D) -> None:
    sharp, dull = (Trip(out, back, D(1) + more, D(km), D(0)) for more in (D(0), worse))
    assert consumption_check(sharp) is not None or consumption_check(dull) is None
