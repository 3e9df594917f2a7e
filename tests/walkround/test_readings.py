"""Readings: what the instrument cannot read is refused at the row; 0, not read and not applicable are three values."""

from decimal import Decimal

import pytest

from handover.walkround.models import Reading
from tests.walkround.conftest import asked, look, press, text_of

PLACES = {"diesel": 1, "odometer": 1, "gas_front": 2}


def take(person, walk, code, typed="", **said):
    return press(person, "take-reading", walk.pk, PLACES[code], asked(walk, code), typed=typed, htmx=True, **said)


@pytest.mark.parametrize(
    ("state", "typed", "kept"),
    [("read", "0", Decimal(0)), ("not_read", "", None), ("not_applicable", "", None)],
)
def test_three_values(isla, pickup, state, typed, kept):
    take(isla, pickup, "diesel", typed, state=state)
    reading = Reading.objects.get()
    assert (reading.state, reading.value) == (state, kept)


@pytest.mark.parametrize(
    ("code", "typed", "sentence"),
    [
        ("diesel", "820", "820 L cannot be: Diesel is full at 90 L. Did you mean 82?"),
        ("diesel", "-4", "-4 is below zero: nothing can be less than empty."),
        ("gas_front", "117", "117 kg cannot be right for this cylinder. Full it weighs 11.9, empty 5.9. Weigh again."),
        ("gas_front", "3.1", "Full it weighs 11.9, empty 5.9. Weigh again. Did you mean 9?"),
        ("odometer", "60300", "is less than the"),
    ],
)
def test_what_cannot_be_is_said_at_the_row_and_stays_as_typed(isla, pickup, code, typed, sentence):
    response = take(isla, pickup, code, typed)
    assert response.status_code == 422
    assert sentence in text_of(response)
    assert f'value="{typed}"' in text_of(response)
    assert not Reading.objects.exists()


@pytest.mark.parametrize("typed", ["11 kg", "20 gal", "a lot", ""])
def test_a_wrong_unit_a_bare_gallon_or_no_figure_is_refused(isla, pickup, typed):
    response = take(isla, pickup, "diesel", typed)
    assert response.status_code == 422
    assert 'role="alert"' in text_of(response)
    assert not Reading.objects.exists()


def test_a_typed_unit_is_understood(isla, pickup):
    take(isla, pickup, "diesel", "18 imp gal")
    assert Reading.objects.get().value.quantize(Decimal("0.1")) == Decimal("81.8")


def test_a_cylinder_shows_its_arithmetic(isla, pickup):
    response = take(isla, pickup, "gas_front", "11.7")
    assert "11.7 − 5.9 <b>= 5.8 kg</b>" in text_of(response)


def test_an_empty_gauge_is_kept_with_a_question(isla, pickup):
    response = take(isla, pickup, "diesel", "0")
    assert "A gauge reads 0 with the ignition off" in text_of(response)


def test_return_stands_beside_pickup_with_what_counts(callum, back):
    response = take(callum, back, "diesel", "47.5")
    said = text_of(response)
    for figure in ("82.0", "− 47.5", "= 34.5", "− 3.0", "= 31.5 L"):
        assert f"<dd>{figure}</dd>" in said


@pytest.mark.parametrize(("typed", "words"), [("80", "No difference"), ("88", "Nothing counts")])
def test_a_difference_that_does_not_count_is_named(callum, back, typed, words):
    assert words in text_of(take(callum, back, "diesel", typed))


def test_without_a_pickup_reading_there_is_no_sum(callum, back):
    Reading.objects.filter(item__code="diesel").delete()
    said = text_of(take(callum, back, "diesel", "47.5"))
    assert "<dd>nothing read</dd>" in said
    assert "Counts" not in said


def test_read_again_says_what_it_was(isla, pickup):
    take(isla, pickup, "diesel", "82")
    assert "was: 82.0, " in text_of(take(isla, pickup, "diesel", "81"))


def test_a_lower_odometer_at_return_is_refused(callum, back):
    response = take(callum, back, "odometer", "63600")
    assert response.status_code == 422
    assert "is less than the 66\u202f300 km it left with. Read the odometer again." in text_of(response)
    assert "Were these miles? Write mi after the figure." in text_of(response)


def test_so_far_has_its_workings(callum, back):
    take(callum, back, "diesel", "47.5")
    said = text_of(look(callum, "so-far", back.pk, 1, asked(back, "diesel")))
    assert "31.5 L short: <b>£51.03</b>" in said
    assert "Due £51.03" in said


def test_so_far_is_only_of_a_return(isla, pickup):
    assert look(isla, "so-far", pickup.pk, 1, asked(pickup, "diesel")).status_code == 404
