"""Which readings cannot be, which are doubted; pure."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from consumables.readable import (
    Scale,
    figure,
    impossible,
    impossible_odometer,
    unlikely_level,
    unlikely_odometer,
)

D = Decimal
DIESEL = Scale("Diesel", "fuel", "L", capacity=D(90))
CYLINDER = Scale("Front", "gas", "kg", tare_kg=D("5.9"), net_kg=D(6))
VOLTS = Scale("House battery", "house_battery", "V")
TREAD = Scale("Tread", "tread", "mm")


@pytest.mark.parametrize(
    ("scale", "value"),
    [(DIESEL, 0), (DIESEL, 90), (CYLINDER, "5.7"), (CYLINDER, "12.2"), (VOLTS, "12.7"), (TREAD, "6.5")],
)
def test_can_be(scale, value):
    assert impossible(scale, D(value)) == ""


@pytest.mark.parametrize(
    ("scale", "value", "sentence"),
    [
        (DIESEL, "90.5", "90.5 L cannot be: Diesel is full at 90 L. Did you mean 9.05?"),
        (DIESEL, "-4", "-4 L is below zero. Diesel reads 0 or more. Did you mean 4?"),
        (DIESEL, "4000", "4000 L cannot be: Diesel is full at 90 L."),
        (VOLTS, "127", "127 V cannot be a 12 V battery. It reads 8 to 16 V. Did you mean 12.7?"),
        (TREAD, "65", "65 mm is deeper than any tread. A new tyre has 7 to 9 mm. Did you mean 6.5?"),
    ],
)
def test_cannot_be_says_what_can_and_the_likely_meaning(scale, value, sentence):
    assert impossible(scale, D(value)) == sentence


@pytest.mark.parametrize(("gross", "meant"), [("117", "11.7"), ("3.1", "9"), ("5.6", "11.5")])
def test_a_point_or_the_cylinder_s_own_mass_forgotten(gross, meant):
    assert impossible(CYLINDER, D(gross)).endswith(f"Did you mean {meant}?")


@given(st.sampled_from([DIESEL, CYLINDER, VOLTS, TREAD]), st.decimals(-10_000, 10_000, places=2))
def test_every_value_gets_one_sentence_or_none(scale, value):
    sentence = impossible(scale, value)
    assert sentence.count("Did you mean") <= 1
    assert bool(sentence) or value >= 0


@pytest.mark.parametrize(
    ("now", "ending"),
    [("1", "Read the odometer again."), ("30000", "Were these miles? Write mi after the figure.")],
)
def test_an_odometer_goes_up(now, ending):
    sentence = impossible_odometer(D(now), before_km=D(42_000), unit="km")
    assert "it left with" in sentence
    assert sentence.endswith(ending)


def test_swapped_digits_are_named():
    assert impossible_odometer(D(14206), before_km=D(41100), unit="km").endswith("Did you mean 41\u202f206?")


def test_more_than_a_day_holds_is_doubted():
    assert unlikely_odometer(D(50_000), before_km=D(41_000), days=D(4), unit="km").endswith("Are two digits swapped?")
    assert unlikely_odometer(D(42_000), before_km=D(41_000), days=D(4), unit="km") == ""


def test_more_than_it_left_with_is_doubted():
    assert "Was it filled?" in unlikely_level(DIESEL, D(90), before=D(82), is_return=True)
    assert unlikely_level(DIESEL, D(90), before=D(82), is_return=False) == ""


@pytest.mark.parametrize(("value", "text"), [("11.70", "11.7"), ("90.00", "90"), ("100", "100"), ("0.5", "0.5")])
def test_figures_without_trailing_zeros(value, text):
    assert figure(D(value)) == text
