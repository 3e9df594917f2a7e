"""What a night says in a row, word by word."""

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from consumables.daylight import Daylight, daylight
from consumables.trip_plan import GasNight, Power, PowerNight, Stop, WaterNight
from handover.cabcard import night_words
from handover.cabcard.night_words import plain, whole

DAY = date(2026, 8, 14)
HERE, OPEN = Stop(DAY, "Quay", mains=True), Stop(DAY)


def light(**said: Any) -> Daylight:
    sunset = datetime(2026, 8, 14, 21, 6, 58, tzinfo=UTC)
    return Daylight(**{"evening": "sets", "sunset": sunset, "dusk": None, **said})


@pytest.mark.parametrize(
    ("evening", "words"),
    [
        (None, "by daylight"),
        (light(), "20:36"),
        (light(evening="polar_day", sunset=None), "light all night"),
        (light(evening="polar_night", sunset=None), "dark: lights on"),
    ],
)
def test_be_there_by(evening: Daylight | None, words: str) -> None:
    assert night_words.be_there_by(evening) == words


def test_the_time_is_the_zones_own() -> None:
    """Half an hour before the sunset there by ephem, 23:18:05 UTC."""
    at = daylight(44.9, -62.6, DAY, ZoneInfo("America/Halifax"))
    assert night_words.be_there_by(at) == "19:48"


@pytest.mark.parametrize(
    ("advice", "stop", "words"),
    [
        (Power.PLUG_IN, HERE, "plug in"),
        (Power.PLUG_IN, OPEN, "find mains, plug in"),
        (Power.MAINS_THERE, HERE, "plug in if you like"),
        (Power.LASTS, OPEN, "battery, 63 % next day"),
        (Power.DRIVE, OPEN, "battery, drive 1.5 h more"),
        (Power.SHORT, OPEN, "not enough: use less, or find mains"),
    ],
)
def test_power(advice: Power, stop: Stop, words: str) -> None:
    night = PowerNight(advice, Decimal(90), Decimal("62.5"), Decimal("1.5"))
    assert night_words.power(night, stop) == words


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({}, "54 L left"),
        ({"fill_l": Decimal(36), "fresh_l": Decimal(90)}, "fill to 90 L"),
        ({"dry": True}, "54 L, fill on the way"),
        ({"empty_waste": True}, "54 L left, empty waste"),
        ({"empty_cassette": True}, "54 L left, empty cassette"),
        ({"empty_waste": True, "empty_cassette": True}, "54 L left, empty waste, cassette"),
        ({"full": True}, "54 L left, find a dump point"),
        ({"full": True, "empty_waste": True}, "54 L left, empty waste"),
    ],
)
def test_water(said: dict[str, Any], words: str) -> None:
    night = WaterNight(**{"fresh_l": Decimal(54), "waste_l": Decimal(10), "cassette_l": Decimal(5), **said})
    assert night_words.water(night) == words


@pytest.mark.parametrize(
    ("left", "short", "words"),
    [("5.925", False, "5.9 kg"), ("0.05", True, "0.1 kg, may run out"), ("0", True, "0.0 kg, may run out")],
)
def test_gas(left: str, short: bool, words: str) -> None:
    assert night_words.gas(GasNight(Decimal(left), Decimal(0), short=short)) == words


def test_what_nobody_entered_is_not_known() -> None:
    assert {night_words.power(None, OPEN), night_words.water(None), night_words.gas(None)} == {"not known"}


def test_where() -> None:
    assert (night_words.where(HERE), night_words.where(OPEN)) == ("Quay", "open")


@pytest.mark.parametrize(("value", "shown"), [("62.5", "63"), ("62.49", "62"), ("0", "0")])
def test_whole_figures_are_rounded_half_up(value: str, shown: str) -> None:
    assert whole(Decimal(value)) == shown


@pytest.mark.parametrize(("value", "shown"), [("10", "10"), ("0.50", "0.5"), ("1.0", "1")])
def test_plain_figures_have_no_powers_of_ten(value: str, shown: str) -> None:
    assert plain(Decimal(value)) == shown
