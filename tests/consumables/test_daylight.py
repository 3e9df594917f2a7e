"""The evening at a place, by when to be parked, and what is said of it."""

from datetime import UTC, date, timedelta
from zoneinfo import ZoneInfo

import pytest

from consumables.daylight import daylight, evening_note, parked_by

LONDON = ZoneInfo("Europe/London")
MIDSUMMER, MIDWINTER = date(2026, 6, 21), date(2026, 12, 21)


def test_parked_half_an_hour_before_sunset_in_the_places_time() -> None:
    light = daylight(57.48, -4.22, MIDSUMMER, LONDON)
    assert light.sunset is not None
    assert f"{light.sunset:%H:%M}" == "22:19"
    assert f"{parked_by(light):%H:%M:%S}" == "21:49:00"


def test_another_margin() -> None:
    light = daylight(57.48, -4.22, MIDSUMMER, LONDON)
    assert f"{parked_by(light, margin=timedelta(hours=1)):%H:%M}" == "21:19"


@pytest.mark.parametrize(
    ("latitude", "day", "words"),
    [(78.0, MIDSUMMER, "does not set"), (78.0, MIDWINTER, "does not rise"), (62.0, MIDSUMMER, "does not get dark"),
     (57.48, MIDWINTER, "level horizon, give or take 2 min")],
)  # fmt: skip
def test_what_is_said_of_an_evening(latitude: float, day: date, words: str) -> None:
    assert words in str(evening_note(daylight(latitude, 15.0, day, UTC)))


@pytest.mark.parametrize("day", [MIDSUMMER, MIDWINTER])
def test_where_the_sun_crosses_no_horizon_there_is_no_time(day: date) -> None:
    light = daylight(78.0, 15.0, day, UTC)
    assert light.sunset is None
    assert parked_by(light) is None


@pytest.mark.parametrize("place", [(91.0, 0.0), (0.0, 181.0)])
def test_no_place_on_earth(place: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="no place"):
        daylight(*place, MIDSUMMER, UTC)


@pytest.mark.parametrize("longitude", [-180.0, 180.0])
def test_at_the_edge_of_the_day(longitude: float) -> None:
    light = daylight(-17.0, longitude, MIDSUMMER, UTC)
    assert light.sunset is not None
    assert light.dusk is not None
    assert light.sunset < light.dusk
