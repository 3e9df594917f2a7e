from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from shared.clock import (
    NoSuchTime,
    TwiceThatDay,
    UnknownZone,
    day_bounds,
    elapsed,
    from_wall,
    local,
    typed_wall,
    zone_of,
)

LONDON = "Europe/London"
HALF_PAST_ONE = datetime(2025, 10, 26, 1, 30)  # noqa: DTZ001


def utc(*parts: int) -> datetime:
    return datetime(*parts, tzinfo=UTC)  # type: ignore[arg-type, misc]


def wall(*parts: int) -> datetime:
    return datetime(*parts)  # type: ignore[arg-type, misc]  # noqa: DTZ001


def test_instant_as_the_branch_sees_it() -> None:
    seen = local(utc(2026, 7, 4, 8, 15), "Pacific/Auckland")
    assert (seen.isoformat(), str(seen.tzinfo)) == ("2026-07-04T20:15:00+12:00", "Pacific/Auckland")


def test_wall_time_becomes_an_instant() -> None:
    assert from_wall(wall(2026, 7, 4, 9, 15), LONDON).isoformat() == "2026-07-04T08:15:00+00:00"


@pytest.mark.parametrize(
    ("when", "zone", "meant"),
    [
        (wall(2025, 3, 30, 1, 30), LONDON, "00:30 or 02:30"),
        (wall(2025, 3, 9, 2, 0), "America/Halifax", "01:00 or 03:00"),
        (wall(2025, 10, 5, 2, 15), "Australia/Lord_Howe", "01:45 or 02:45"),
    ],
)
def test_wall_time_that_never_was(when: datetime, zone: str, meant: str) -> None:
    with pytest.raises(NoSuchTime, match=f"the clocks went forward over it. {meant} may be meant"):
        from_wall(when, zone)


def test_wall_time_that_never_was_whatever_the_fold() -> None:
    with pytest.raises(NoSuchTime, match="01:30 on 30 March 2025 did not come in Europe/London"):
        from_wall(wall(2025, 3, 30, 1, 30), LONDON, fold=1)


@pytest.mark.parametrize("when", [wall(2025, 3, 30, 0, 59), wall(2025, 3, 30, 2, 0)])
def test_wall_times_around_the_jump_exist(when: datetime) -> None:
    assert local(from_wall(when, LONDON), LONDON).replace(tzinfo=None) == when


def test_wall_time_that_came_twice_has_to_be_told_apart() -> None:
    with pytest.raises(TwiceThatDay) as refused:
        from_wall(HALF_PAST_ONE, LONDON)
    assert str(refused.value) == (
        "01:30 on 26 October 2025 came twice in Europe/London, because the clocks went back. "
        "Say whether the first (UTC+1) or the second (UTC) is meant."
    )


@pytest.mark.parametrize(("fold", "hour"), [(0, 0), (1, 1)])
def test_which_of_the_two_can_be_said(fold: int, hour: int) -> None:
    assert from_wall(HALF_PAST_ONE, LONDON, fold=fold) == utc(2025, 10, 26, hour, 30)


@pytest.mark.parametrize("fold", [None, 0, 1])
def test_fold_says_nothing_of_other_times(fold: int | None) -> None:
    assert from_wall(wall(2025, 10, 26, 3, 0), LONDON, fold=fold) == utc(2025, 10, 26, 3, 0)


def test_offsets_are_written_with_their_minutes() -> None:
    with pytest.raises(TwiceThatDay, match=r"\(UTC−2:30\) or the second \(UTC−3:30\)"):
        from_wall(wall(2025, 11, 2, 1, 30), "America/St_Johns")


def test_wall_time_has_no_zone_of_its_own() -> None:
    with pytest.raises(ValueError, match="without a zone"):
        from_wall(utc(2026, 7, 4, 9, 15), LONDON)


@pytest.mark.parametrize("name", ["", "London", "Europe/Inverlark", "../../etc/passwd", "/etc/localtime", "Europe"])
def test_unknown_zone_is_told(name: str) -> None:
    with pytest.raises(UnknownZone, match="is no time zone"):
        zone_of(name)


def test_time_without_zone_is_no_instant() -> None:
    for refuse in (
        lambda: elapsed(wall(2026, 7, 4), utc(2026, 7, 4)),
        lambda: elapsed(utc(2026, 7, 4), wall(2026, 7, 4)),
        lambda: local(wall(2026, 7, 4), LONDON),
    ):
        with pytest.raises(ValueError, match="not an instant"):
            refuse()


def test_elapsed_time_is_not_the_difference_of_wall_clocks() -> None:
    zone = ZoneInfo(LONDON)
    start, end = datetime(2025, 3, 29, 10, tzinfo=zone), datetime(2025, 3, 30, 10, tzinfo=zone)
    assert end - start == timedelta(hours=24)
    assert elapsed(start, end) == timedelta(hours=23)


def test_return_before_pickup_is_negative() -> None:
    assert elapsed(utc(2026, 7, 4, 9), utc(2026, 7, 4, 8)) == timedelta(hours=-1)


@pytest.mark.parametrize(
    ("day", "zone", "hours"),
    [
        (date(2026, 7, 4), LONDON, 24),
        (date(2025, 3, 30), LONDON, 23),
        (date(2025, 10, 26), LONDON, 25),
        (date(2025, 4, 6), "Australia/Lord_Howe", 24.5),
        (date(2025, 4, 25), "Africa/Cairo", 23),  # the clocks jump over midnight
        (date(2011, 12, 30), "Pacific/Apia", 0),  # the day that was left out
    ],
)
def test_day_has_the_hours_it_has(day: date, zone: str, hours: float) -> None:
    start, end = day_bounds(day, zone)
    assert end - start == timedelta(hours=hours)


def test_days_join_without_gap() -> None:
    days = [date(2025, 10, 25) + timedelta(days=number) for number in range(3)]
    bounds = [day_bounds(day, LONDON) for day in days]
    assert bounds[0][1] == bounds[1][0]
    assert bounds[1][1] == bounds[2][0]
    assert bounds[0][0] == utc(2025, 10, 24, 23)


def test_a_field_of_date_and_time() -> None:
    assert typed_wall("2026-08-18T11:30") == wall(2026, 8, 18, 11, 30)


@pytest.mark.parametrize(
    "typed",
    ["", "yesterday", "2026-08-18", "2026-02-30T10:00", "2026-08-18T11:30Z", "2026-08-18T11:30+14:00", "A" * 200_000],
)
def test_what_is_no_date_and_time(typed: str) -> None:
    with pytest.raises(ValueError, match=r"is no date and time\. Write it as 2026-08-18T11:30\.") as refused:
        typed_wall(typed)
    assert len(str(refused.value)) < 120


@pytest.mark.parametrize("typed", ["0001-01-01T00:00", "0026-08-18T11:30", "9999-12-31T23:59"])
def test_a_year_of_no_rental(typed: str) -> None:
    with pytest.raises(ValueError, match=f"{typed[:4]} is no year of a rental"):
        typed_wall(typed)
