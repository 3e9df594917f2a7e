"""VIN check digits against 49 CFR 565.15(c) and well-known examples."""

import pytest

from fleet.vin import VALUES, WEIGHTS, BadVin, check_digit, checked_vin

pytestmark = [pytest.mark.reference, pytest.mark.source("49 CFR 565.15(c) and well-known examples")]


def weighted_sum(vin):
    return sum(VALUES[letter] * weight for letter, weight in zip(vin, WEIGHTS, strict=True))


def test_v1_weights_and_letter_values():
    """49 CFR 565.15, tables of weights and of assigned values."""
    assert WEIGHTS == (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
    letters = {"ABCDEFGH": range(1, 9), "JKLMN": range(1, 6), "P": [7], "R": [9], "STUVWXYZ": range(2, 10)}
    for group, values in letters.items():
        assert [VALUES[letter] for letter in group] == list(values)
    assert not set("IOQ") & set(VALUES)


@pytest.mark.parametrize(
    ("vin", "total", "digit"),
    [
        ("1M8GDM9AXKP042788", 351, "X"),  # the well-known example: 351 leaves 10, written X
        ("11111111111111111", 89, "1"),  # the common test: all ones
        ("5GZCZ43D13S812715", 408, "1"),
        ("1HGCM82633A004352", 311, "3"),
    ],
)
def test_v2_v5_v6_known_vins(vin, total, digit):
    assert weighted_sum(vin) == total
    assert check_digit(vin) == digit
    assert checked_vin(vin, with_check_digit=True) == vin


def test_every_single_wrong_digit_in_the_serial_is_found():
    vin = "1M8GDM9AXKP042788"
    for place in range(11, 17):
        for digit in set("0123456789") - {vin[place]}:
            with pytest.raises(BadVin, match="check digit"):
                checked_vin(vin[:place] + digit + vin[place + 1 :], with_check_digit=True)


def test_without_check_digit_only_the_form_counts():
    assert checked_vin("0lk skerry-rl000407", with_check_digit=False) == "0LKSKERRYRL000407"
    with pytest.raises(BadVin):
        checked_vin("0LKSKERRYRL000407", with_check_digit=True)


def test_a_letter_o_for_zero_is_named():
    with pytest.raises(BadVin, match="Did you mean 0LKSKERRYRL000407"):
        checked_vin("OLKSKERRYRL000407", with_check_digit=False)
    with pytest.raises(BadVin, match="this has 5"):
        checked_vin("0LKSK", with_check_digit=False)
