"""Gauge scales: readings between graduations, half-widths, and how a level is said."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from consumables.gauge import (
    EIGHTHS,
    NO_GAUGE,
    PERCENT,
    QUARTERS,
    SIXTEENTHS,
    GaugeScale,
    OffScale,
    half_width,
    named,
    part_of_full,
    reading_at,
    scale_of,
)
from tests.consumables.made import D

SIGHT = GaugeScale("sight", 3)
READABLE = [QUARTERS, EIGHTHS, SIXTEENTHS, PERCENT, SIGHT]


@pytest.mark.parametrize(
    ("scale", "reading", "part"),
    [(EIGHTHS, "6.5", "0.8125"), (QUARTERS, "3", "0.75"), (SIXTEENTHS, "16", "1"), (PERCENT, "62", "0.62")],
)
def test_a_reading_is_a_part_of_full(scale: GaugeScale, reading: str, part: str) -> None:
    assert part_of_full(scale, D(reading)) == D(part)


@pytest.mark.parametrize(
    ("scale", "part"), [(QUARTERS, "0.125"), (EIGHTHS, "0.0625"), (SIXTEENTHS, "0.03125"), (PERCENT, "0.005")]
)
def test_half_a_graduation_each_way(scale: GaugeScale, part: str) -> None:
    assert half_width(scale) == D(part)
    assert half_width(scale, on_a_slope=True) == 2 * D(part)


def test_no_gauge_tells_nothing() -> None:
    assert half_width(NO_GAUGE) == D("0.5")
    with pytest.raises(OffScale, match="no gauge"):
        part_of_full(NO_GAUGE, D(0))


@pytest.mark.parametrize("reading", ["-1", "8.5"])
def test_off_the_scale(reading: str) -> None:
    with pytest.raises(OffScale, match="from 0 to 8"):
        part_of_full(EIGHTHS, D(reading))
    with pytest.raises(OffScale):
        reading_at(EIGHTHS, D(reading))


@pytest.mark.parametrize(
    ("scale", "part", "words"),
    [
        (EIGHTHS, "0.625", "5/8"),
        (EIGHTHS, "0.5", "1/2"),
        (EIGHTHS, "0.6", "between 1/2 and 5/8"),
        (EIGHTHS, "0.05", "between empty and 1/8"),
        (SIGHT, "1", "full"),
        (PERCENT, "0.62", "62 %"),
    ],
)
def test_a_level_in_words(scale: GaugeScale, part: str, words: str) -> None:
    assert str(named(scale, D(part))) == words


def test_words_of_a_level_in_another_language() -> None:
    words = {"between %(low)s and %(high)s": "zwischen %(low)s und %(high)s", "empty": "leer"}
    assert named(EIGHTHS, D("0.05")).in_language(lambda text: words.get(text, text)) == "zwischen leer und 1/8"


@pytest.mark.parametrize(
    ("instrument", "steps", "scale"),
    [
        ("gauge", 16, SIXTEENTHS), ("display", 100, PERCENT), ("sight", 3, SIGHT), ("gauge", 0, NO_GAUGE),
        ("none", 8, NO_GAUGE),
    ],
)  # fmt: skip
def test_the_scale_of_an_instrument(instrument: str, steps: int, scale: GaugeScale) -> None:
    assert scale_of(instrument, steps) == scale


@pytest.mark.parametrize(("kind", "steps"), [("none", 8), ("steps", 0), ("steps", 1001)])
def test_no_such_gauge(kind, steps: int) -> None:
    with pytest.raises(ValueError, match="cannot have"):
        GaugeScale(kind, steps)


@given(st.sampled_from(READABLE), st.decimals(0, 1, places=4))
def test_a_level_and_its_reading_round_trip(scale: GaugeScale, part: D) -> None:
    assert part_of_full(scale, reading_at(scale, part)) == part
