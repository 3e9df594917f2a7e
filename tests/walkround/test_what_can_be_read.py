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
    swapped,
)
from consumables.unlikely import Beside, unlikely_level, unlikely_odometer

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
    assert unlikely_odometer(D(45_800), before_km=D(41_000), days=D(4), unit="km") == ""
    assert unlikely_odometer(D(42_000), before_km=D(41_000), days=D(4), unit="km") == ""


def test_36_000_km_in_a_week_and_the_digits_that_were_swapped():
    question = unlikely_odometer(D(84_210), before_km=D(48_210), days=D(7), unit="km")
    assert question == "That is 36\u202f000 km in 7 days. Did you mean 48\u202f210?"


def test_swapped_digits_in_miles():
    before = D(30_000) * D("1.609344")
    question = unlikely_odometer(D(31_500) * D("1.609344") + before, before_km=before, days=D(4), unit="mi")
    assert question.endswith("Are two digits swapped?")
    question = unlikely_odometer(D(40_120) * D("1.609344"), before_km=before, days=D(2), unit="mi")
    assert question.startswith("That is 10\u202f120 mi in 2 days.")


@given(st.integers(10, 999_999))
def test_swapping_twice_is_the_number_again(number):
    for place, guess in enumerate(swapped(number)):
        again = f"{guess:0{len(str(number))}d}"
        assert int(again[:place] + again[place + 1] + again[place] + again[place + 2 :]) == number


def back(before, driven=None):
    return Beside(D(before), None if driven is None else D(driven), is_return=True)


@pytest.mark.parametrize(
    ("scale", "value", "beside", "question"),
    [
        (DIESEL, "0", Beside(), "Is it on, and has the needle settled?"),
        (DIESEL, "0", back("82", "400"), "Is it on, and has the needle settled?"),
        (DIESEL, "90", back("82"), "more than it left with (82 L). Was it filled?"),
        (DIESEL, "82", back("82", "812"), "The same as when it left, after 812 km. Was it filled just now?"),
        (CYLINDER, "11.8", back("11.7"), "Heavier than when it left (11.7 kg). Is it the same cylinder"),
        (TREAD, "6.5", back("6.0"), "Deeper than when it left (6 mm). Is it the same tyre"),
        (VOLTS, "14.4", Beside(), "14.4 V is more than a battery at rest shows"),
    ],
)
def test_what_is_asked(scale, value, beside, question):
    assert question in unlikely_level(scale, D(value), beside)


@pytest.mark.parametrize(
    ("scale", "value", "beside"),
    [
        (DIESEL, "90", Beside(D(82))),
        (DIESEL, "82", back("82")),
        (DIESEL, "82", back("82", "100")),
        (DIESEL, "81.5", back("82", "812")),
        (DIESEL, "0.5", Beside()),
        (CYLINDER, "11.7", back("11.7")),
        (CYLINDER, "11.8", Beside(D("11.7"))),
        (TREAD, "6.0", back("6.0")),
        (VOLTS, "13.6", Beside()),
        (Scale("House battery", "house_battery", "%"), "100", Beside()),
        (Scale("Waste", "waste_water", "L"), "40", back("0")),
    ],
)
def test_what_is_not_asked(scale, value, beside):
    assert unlikely_level(scale, D(value), beside) == ""


@pytest.mark.parametrize(("value", "text"), [("11.70", "11.7"), ("90.00", "90"), ("100", "100"), ("0.5", "0.5")])
def test_figures_without_trailing_zeros(value, text):
    assert figure(D(value)) == text
