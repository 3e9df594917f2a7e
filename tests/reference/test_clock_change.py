"""Elapsed hours across clock changes, as IANA tz 2026f has them (each row with its identifier and source)."""

from datetime import datetime

import pytest

from handover.charges import parse
from handover.charges.document.time_rates import LateRate
from handover.charges.rules.lateness import lateness
from tests.charges.documents import LATE, document

pytestmark = [pytest.mark.reference, pytest.mark.source("IANA time zone database 2026f")]

# id, zone, scheduled, returned, minutes elapsed, minutes on the wall
ROWS = [
    ("D1", "Europe/London", "2025-03-29T10:00", "2025-03-30T10:00", 23 * 60, 24 * 60),
    ("D4", "Europe/London", "2025-03-30T00:30", "2025-03-30T02:30", 60, 120),
    ("D6", "America/Halifax", "2025-03-08T11:00", "2025-03-09T11:00", 23 * 60, 24 * 60),
    ("D7", "America/Halifax", "2025-11-01T11:00", "2025-11-02T11:00", 25 * 60, 24 * 60),
    ("D10", "Australia/Lord_Howe", "2025-10-04T10:00", "2025-10-05T10:00", 23 * 60 + 30, 24 * 60),
    ("D12", "Pacific/Auckland", "2025-04-05T10:00", "2025-04-06T10:00", 25 * 60, 24 * 60),
    ("D13", "Pacific/Auckland", "2025-09-27T10:00", "2025-09-28T10:00", 23 * 60, 24 * 60),
    ("D15", "Europe/London", "2026-03-28T15:00", "2026-03-29T16:30", 24 * 60 + 30, 25 * 60 + 30),
    ("D16", "Pacific/Auckland", "2026-04-04T15:00", "2026-04-05T15:00", 25 * 60, 24 * 60),
    ("D17", "America/St_Johns", "2025-11-01T16:00", "2025-11-02T16:00", 25 * 60, 24 * 60),
    ("D19 Brisbane", "Australia/Brisbane", "2025-10-04T10:00", "2025-10-05T10:00", 24 * 60, 24 * 60),
    ("D19 Reykjavik", "Atlantic/Reykjavik", "2025-03-29T10:00", "2025-03-30T10:00", 24 * 60, 24 * 60),
]


def minutes_late(zone: str, scheduled: str, returned: str, clock: str) -> int:
    rental = {"pickup_at": "2025-01-02T10:00", "scheduled_return_at": scheduled, "returned_at": returned}
    case = parse(document(time_zone=zone, rental=rental, rules={"late": {**LATE, "clock": clock}}))
    assert isinstance(case.rules.late, LateRate)
    late = lateness(case, case.rules.late)
    assert late is not None
    return late.clocked.late


@pytest.mark.parametrize(
    ("row", "zone", "scheduled", "returned", "elapsed", "wall"), ROWS, ids=[row[0] for row in ROWS]
)
def test_elapsed_and_wall_minutes(row: str, zone: str, scheduled: str, returned: str, elapsed: int, wall: int) -> None:
    assert minutes_late(zone, scheduled, returned, "elapsed") == elapsed
    assert minutes_late(zone, scheduled, returned, "wall") == wall
    assert minutes_late(zone, scheduled, returned, "lower_of_both") == min(elapsed, wall)


# D20: zone, UTC instant of the change, the local time just before it
CHANGES = [
    ("Europe/London", "2025-03-30T01:00", "2025-03-30T00:59"),
    ("Europe/London", "2026-10-25T01:00", "2026-10-25T01:59"),
    ("America/Halifax", "2026-03-08T06:00", "2026-03-08T01:59"),
    ("Australia/Lord_Howe", "2025-10-04T15:30", "2025-10-05T01:59"),
    ("Pacific/Auckland", "2026-09-26T14:00", "2026-09-27T01:59"),
]


@pytest.mark.parametrize(("zone", "instant", "before"), CHANGES)
def test_instant_of_the_change(zone: str, instant: str, before: str) -> None:
    """D20: the minute before the change, read in the zone, is the minute before that instant."""
    rental = {"pickup_at": "2025-01-02T10:00", "scheduled_return_at": "2027-01-01T10:00", "returned_at": f"{before}"}
    returned = parse(document(time_zone=zone, rental=rental)).rental.returned_at
    assert returned is not None
    minutes = (datetime.fromisoformat(f"{instant}+00:00") - returned.utc).total_seconds() / 60
    assert minutes in (1, 61)  # 61 where the hour comes twice: the first of the two is the customer's
