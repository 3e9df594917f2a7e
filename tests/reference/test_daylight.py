"""Sunset and civil dusk against a second library, ephem, at eleven places, and against published times."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import ephem
import pytest

from consumables.daylight import daylight

pytestmark = [pytest.mark.reference, pytest.mark.source("ephem, no air, -0:50 and -6")]

PLACES = {
    "Greenwich": (51.4778, -0.0014), "Quito": (-0.1807, -78.4678), "Auckland": (-36.8485, 174.7633),
    "Washington": (38.9072, -77.0369), "Denver": (39.7392, -104.9903), "Halifax": (44.6488, -63.5752),
    "Inverness": (57.4778, -4.2247), "Ushuaia": (-54.8, -68.3), "Reykjavik": (64.1466, -21.9426),
    "Tromso": (69.6492, 18.9553), "Longyearbyen": (78.2232, 15.6267),
}  # fmt: skip
DAYS = [date(2024, 6, 21), date(2025, 3, 20), date(2025, 8, 15), date(2025, 12, 21)]
WITHIN = timedelta(seconds=10)


def by_ephem(place: tuple[float, float], day: date, horizon: str) -> datetime | None:
    """The setting within half a day after local noon."""
    around = datetime(day.year, day.month, day.day, 12, tzinfo=UTC) - timedelta(hours=place[1] / 15)
    observer = ephem.Observer()
    observer.lat, observer.lon, observer.horizon = str(place[0]), str(place[1]), horizon
    observer.pressure, observer.date = 0, around
    try:
        found = observer.next_setting(ephem.Sun(), use_center=True).datetime().replace(tzinfo=UTC)
    except (ephem.AlwaysUpError, ephem.NeverUpError):
        return None
    return found if found - around < timedelta(hours=13) else None


def agrees(mine: datetime | None, theirs: datetime | None) -> bool:
    return mine is theirs or (mine is not None and theirs is not None and abs(mine - theirs) < WITHIN)


@pytest.mark.parametrize("day", DAYS, ids=str)
@pytest.mark.parametrize("name", PLACES)
def test_against_ephem(name: str, day: date) -> None:
    light = daylight(*PLACES[name], day, UTC)
    assert agrees(light.sunset, by_ephem(PLACES[name], day, "-0:50"))
    assert agrees(light.dusk, by_ephem(PLACES[name], day, "-6"))


@pytest.mark.parametrize(
    ("name", "day", "evening"),
    [
        ("Tromso", date(2024, 6, 21), "polar_day"),
        ("Tromso", date(2025, 12, 21), "polar_night"),
        ("Longyearbyen", date(2025, 8, 15), "polar_day"),
        ("Reykjavik", date(2024, 6, 21), "sets"),
    ],
)
def test_polar_cases(name: str, day: date, evening: str) -> None:
    assert daylight(*PLACES[name], day, UTC).evening == evening


def test_a_sunset_after_midnight_belongs_to_the_evening_before() -> None:
    light = daylight(*PLACES["Reykjavik"], date(2024, 6, 21), UTC)
    assert light.sunset is not None
    assert f"{light.sunset:%m-%d %H:%M}" == "06-22 00:04"
    assert light.dusk is None


@pytest.mark.source("skyfield with DE421, run beforehand")
@pytest.mark.parametrize(
    ("name", "day", "zone", "sunset", "dusk"),
    [
        ("Greenwich", date(2024, 6, 21), "Europe/London", "21:20:58", "22:08:40"),
        ("Auckland", date(2025, 12, 21), "Pacific/Auckland", "20:39:40", "21:10:27"),
        ("Quito", date(2025, 3, 20), "America/Guayaquil", "18:24:24", "18:45:04"),
        ("Washington", date(2025, 1, 1), "America/New_York", "16:57:07", "17:26:56"),
        ("Denver", date(2025, 7, 4), "America/Denver", "20:31:17", "21:03:35"),
    ],
)
def test_times_of_another_library(name: str, day: date, zone: str, sunset: str, dusk: str) -> None:
    light = daylight(*PLACES[name], day, ZoneInfo(zone))
    for mine, theirs in ((light.sunset, sunset), (light.dusk, dusk)):
        assert mine is not None
        published = datetime.fromisoformat(f"{day}T{theirs}").replace(tzinfo=ZoneInfo(zone))
        assert abs(mine - published) < WITHIN
