"""Elapsed hours over clock changes, against the IANA time zone database (2026f), and the instants of the changes."""

from datetime import UTC, datetime, timedelta

import pytest

from shared.clock import elapsed, from_wall, local

pytestmark = [pytest.mark.reference, pytest.mark.source("IANA time zone database 2026f")]


@pytest.mark.parametrize(
    ("zone", "start", "end", "hours"),
    [
        ("Europe/London", "2025-03-29T10:00", "2025-03-30T10:00", 23.0),
        ("Europe/London", "2025-03-30T00:30", "2025-03-30T02:30", 1.0),
        ("Europe/London", "2026-03-28T15:00", "2026-03-29T16:30", 24.5),
        ("America/Halifax", "2025-03-08T11:00", "2025-03-09T11:00", 23.0),
        ("America/Halifax", "2025-11-01T11:00", "2025-11-02T11:00", 25.0),
        ("Australia/Lord_Howe", "2025-10-04T10:00", "2025-10-05T10:00", 23.5),
        ("Pacific/Auckland", "2025-04-05T10:00", "2025-04-06T10:00", 25.0),
        ("Pacific/Auckland", "2025-09-27T10:00", "2025-09-28T10:00", 23.0),
        ("Pacific/Auckland", "2026-04-04T15:00", "2026-04-05T15:00", 25.0),
        ("America/St_Johns", "2025-11-01T16:00", "2025-11-02T16:00", 25.0),
        ("Australia/Brisbane", "2025-10-04T10:00", "2025-10-05T10:00", 24.0),
        ("Atlantic/Reykjavik", "2025-10-25T10:00", "2025-10-26T10:00", 24.0),
    ],
)
def test_elapsed_hours(zone: str, start: str, end: str, hours: float) -> None:
    between = [local(from_wall(datetime.fromisoformat(wall), zone), zone) for wall in (start, end)]
    assert elapsed(*between) == timedelta(hours=hours)


@pytest.mark.parametrize(
    ("zone", "change"),
    [
        ("Europe/London", "2025-03-30T01:00"),
        ("Europe/London", "2026-10-25T01:00"),
        ("America/Halifax", "2025-03-09T06:00"),
        ("America/Halifax", "2026-11-01T05:00"),
        ("Australia/Lord_Howe", "2025-10-04T15:30"),
        ("Australia/Lord_Howe", "2026-10-03T15:30"),
        ("Pacific/Auckland", "2025-04-05T14:00"),
        ("Pacific/Auckland", "2026-09-26T14:00"),
    ],
)
def test_clocks_change_at_this_instant(zone: str, change: str) -> None:
    instant = datetime.fromisoformat(change).replace(tzinfo=UTC)
    before = local(instant - timedelta(microseconds=1), zone).utcoffset()
    assert before != local(instant, zone).utcoffset()
