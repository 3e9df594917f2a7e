"""Late return: every parameter of its rule."""

from datetime import date, timedelta
from typing import Any

import pytest

from tests.charges.documents import HOURS, LATE, due, line, priced, reasons

KEY_DROP = {"after_hours": "deemed_next_opening", "opening_hours": HOURS}


def late(returned: str | None, *, scheduled: str = "2026-05-08T16:00", rate: Any = None, **rental: Any) -> Any:
    """A statement of a rental due on Friday 8 May at 16:00."""
    times = {"scheduled_return_at": scheduled, "returned_at": returned, **rental}
    return priced(rules={"late": {**LATE, **(rate or {})}}, rental=times)


def late_due(returned: str, **more: Any) -> str:
    return " ".join(str(one.amount) for one in late(returned, **more).lines)


@pytest.mark.parametrize(
    ("returned", "amount"),
    [
        ("2026-05-08T15:00", ""),
        ("2026-05-08T16:30", ""),  # equal to the grace is inside it
        ("2026-05-08T16:31", "25.00"),
        ("2026-05-08T17:00", "25.00"),
        ("2026-05-08T17:01", "50.00"),
        ("2026-05-08T23:00", "140.00"),
        ("2026-05-09T16:00", "140.00"),
        ("2026-05-09T16:01", "165.00"),
        ("2026-05-10T15:00", "280.00"),
    ],
)
def test_blocks_begun_and_the_cap_of_24_hours(returned: str, amount: str) -> None:
    assert late_due(returned) == amount


def test_seconds_do_not_begin_a_minute() -> None:
    assert late_due("2026-05-08T16:30:59") == ""


@pytest.mark.parametrize(("count_from", "amount"), [("scheduled", "75.00"), ("end_of_grace", "50.00")])
def test_where_the_count_begins(count_from: str, amount: str) -> None:
    assert late_due("2026-05-08T18:10", rate={"count_from": count_from}) == amount


def test_the_count_begins_after_grace_where_nothing_is_agreed() -> None:
    rate = {key: value for key, value in LATE.items() if key != "count_from"}
    times = {"scheduled_return_at": "2026-05-08T16:00", "returned_at": "2026-05-08T18:10"}
    assert due(rules={"late": rate}, rental=times) == {"LATE return": "50.00"}


def test_a_rate_of_nothing_is_no_line() -> None:
    assert late_due("2026-05-08T18:10", rate={"rate_per_block": "0"}) == ""


def test_half_hour_blocks_without_a_cap() -> None:
    assert late_due("2026-05-09T17:00", rate={"block_min": 30, "daily_cap": None}) == "1250.00"


DAY_RULE = {"from_hours": 4, "rate": "90.00", "factor": "1.5"}


@pytest.mark.parametrize(
    ("returned", "amount"),
    [("2026-05-08T19:59", "100.00"), ("2026-05-08T20:00", "135.00"), ("2026-05-09T17:00", "160.00")],
)
def test_from_so_many_hours_a_full_day(returned: str, amount: str) -> None:
    assert late_due(returned, rate={"day_rule": DAY_RULE, "daily_cap": None}) == amount


def test_a_day_rule_alone() -> None:
    times = {"scheduled_return_at": "2026-05-08T16:00", "returned_at": "2026-05-08T21:00"}
    assert due(rules={"late": {"day_rule": DAY_RULE}}, rental=times) == {"LATE return": "135.00"}


def test_the_lower_of_cap_and_day() -> None:
    assert late_due("2026-05-08T23:00", rate={"day_rule": DAY_RULE, "daily_cap": "120.00"}) == "120.00"


def test_not_back_yet() -> None:
    statement = late(None)
    assert (statement.lines, statement.findings, statement.derived) == ((), (), {})


@pytest.mark.parametrize(("returned", "reason"), [("2026-05-08T15:00", "level"), ("2026-05-08T16:20", "within_grace")])
def test_why_there_is_no_charge(returned: str, reason: str) -> None:
    assert reasons(late(returned)) == {"LATE return": reason}


def test_key_drop_is_deemed_at_the_next_opening() -> None:
    statement = late("2026-05-08T21:40", rate=KEY_DROP, return_method="key_drop")
    assert statement.derived == {"late_minutes": 990, "deemed_return_at": "2026-05-09T08:30"}


def test_a_drop_in_the_hours_is_a_return() -> None:
    statement = late("2026-05-08T17:00", rate=KEY_DROP, return_method="key_drop")
    assert statement.derived == {"late_minutes": 60}


def test_an_attended_return_out_of_hours_is_a_return() -> None:
    assert late("2026-05-08T18:00", rate=KEY_DROP).derived == {"late_minutes": 120}


def test_an_actual_drop_counts_where_agreed() -> None:
    rate = {**KEY_DROP, "after_hours": "actual_drop", "after_hours_fee": "45.00"}
    statement = late("2026-05-08T18:00", rate=rate, return_method="key_drop")
    assert [str(one.amount) for one in statement.lines] == ["50.00", "45.00"]


def test_drop_before_the_hours_of_the_day() -> None:
    statement = late("2026-05-09T06:00", rate=KEY_DROP, return_method="key_drop")
    assert statement.derived["deemed_return_at"] == "2026-05-09T08:30"


@pytest.mark.parametrize(("deemed_for", "minutes"), [("risk", 0), ("risk_and_lateness", 60)])
def test_dropped_before_the_time_and_deemed_after(deemed_for: str, minutes: int) -> None:
    rate = {**KEY_DROP, "deemed_for": deemed_for}
    answer = late("2026-05-08T07:00", rate=rate, return_method="key_drop", scheduled="2026-05-08T07:30")
    assert answer.derived["deemed_return_at"] == "2026-05-08T08:30"
    assert answer.derived["late_minutes"] == minutes


@pytest.mark.parametrize(("charged", "minutes"), [(False, 990), (True, 990 + 1440)])
def test_whole_closed_days_between(charged: bool, minutes: int) -> None:
    rate = {**KEY_DROP, "charge_closed_days": charged}
    statement = late("2026-05-09T18:00", rate=rate, return_method="key_drop", scheduled="2026-05-09T16:00")
    assert statement.derived == {"late_minutes": minutes, "deemed_return_at": "2026-05-11T08:30"}


def test_a_closed_date_and_a_sunday() -> None:
    rate = {**KEY_DROP, "closed_dates": ["2026-05-11"]}
    statement = late("2026-05-09T18:00", rate=rate, return_method="key_drop", scheduled="2026-05-09T16:00")
    assert statement.derived == {"late_minutes": 990, "deemed_return_at": "2026-05-12T08:30"}


def test_closed_dates_without_hours() -> None:
    rate = {"closed_dates": ["2026-05-09"]}
    assert late("2026-05-10T16:00", rate=rate).derived == {"late_minutes": 1440}


@pytest.mark.parametrize(("clock", "minutes"), [("elapsed", 930), ("wall", 930), ("lower_of_both", 930)])
def test_a_closed_day_has_its_true_length(clock: str, minutes: int) -> None:
    """Sunday 29 March 2026 has 23 hours in Berlin: 23 are gone and 23 are taken off, or 24 and 24 on the wall."""
    rate = {**KEY_DROP, "clock": clock}
    times = {"scheduled": "2026-03-28T17:00", "return_method": "key_drop", "pickup_at": "2026-03-20T10:00"}
    assert late("2026-03-28T18:00", rate=rate, **times).derived["late_minutes"] == minutes


@pytest.mark.parametrize(("clock", "minutes"), [("elapsed", 990), ("wall", 930), ("lower_of_both", 930)])
def test_the_clock_that_was_agreed(clock: str, minutes: int) -> None:
    times = {"scheduled": "2026-10-24T18:00", "pickup_at": "2026-10-17T14:00"}
    assert late("2026-10-25T09:30", rate={"clock": clock}, **times).derived["late_minutes"] == minutes


@pytest.mark.parametrize(
    ("returned", "minutes"), [("2026-10-25T02:30", 30), ("2026-10-25T02:30+02:00", 30), ("2026-10-25T02:30+01:00", 90)]
)
def test_the_hour_that_comes_twice(returned: str, minutes: int) -> None:
    times = {"scheduled": "2026-10-25T02:00+02:00", "pickup_at": "2026-10-17T14:00"}
    assert late(returned, **times).derived["late_minutes"] == minutes


def test_the_queue_inside_the_hours_is_arrival() -> None:
    assert late("2026-05-08T17:30", arrived_at="2026-05-08T16:10").derived == {"late_minutes": 10}


def test_a_queue_outside_the_hours_is_not() -> None:
    answer = late("2026-05-09T08:35", rate=KEY_DROP, arrived_at="2026-05-08T18:00")
    assert answer.derived == {"late_minutes": 995}


@pytest.mark.parametrize(
    ("stop", "minutes"), [("2026-05-08T15:00", 0), ("2026-05-08T18:00", 120), ("2026-05-09T18:00", 1440)]
)
def test_a_report_stops_the_count(stop: str, minutes: int) -> None:
    answer = late("2026-05-09T16:00", stops_at={"at": stop, "cause": "breakdown_report"})
    assert answer.derived == {"late_minutes": minutes}


def test_waiting_on_the_branch_is_not_late() -> None:
    waits = [
        {"from": "2026-05-08T15:00", "to": "2026-05-08T17:00", "cause": "breakdown"},
        {"from": "2026-05-08T16:30", "to": "2026-05-08T18:00"},
        {"from": "2026-05-08T16:30", "to": "2026-05-08T17:30"},
        {"from": "2026-05-08T17:10", "to": "2026-05-08T17:20"},
    ]
    statement = late("2026-05-08T19:00", operator_waits=waits)
    assert statement.derived == {"late_minutes": 60}
    assert [step.label for step in line(statement, "LATE").workings][:2] == [
        "late, elapsed time",
        "waiting on the branch",
    ]


@pytest.mark.parametrize(
    ("agreed", "displaced", "charged"),
    [
        (True, {"cost": "80.00", "proof": "hotel invoice"}, True),
        (True, {"cost": "80.00"}, False),
        (True, {"cost": "0", "proof": "hotel invoice"}, False),
        (True, None, False),
        (False, {"cost": "80.00", "proof": "hotel invoice"}, False),
    ],
)
def test_the_next_customers_cost(agreed: bool, displaced: Any, charged: bool) -> None:
    statement = late("2026-05-08T18:00", rate={"next_booking_cost": agreed}, next_booking=displaced)
    assert ("NEXT_BOOKING" in [one.code for one in statement.lines]) is charged


def test_no_next_customers_cost_without_lateness() -> None:
    displaced = {"cost": "80.00", "proof": "hotel invoice"}
    assert late("2026-05-08T16:10", rate={"next_booking_cost": True}, next_booking=displaced).lines == ()


def test_early_return() -> None:
    rate = {"early_return": {"day_rate": "100.00", "refund_pct": "40"}}
    assert late_due("2026-05-06T15:00", rate=rate) == "-80.00"
    assert late_due("2026-05-08T15:00", rate=rate) == ""
    assert late("2026-05-06T15:00").lines == ()
    assert late(None, rate=rate).lines == ()


def test_extension_replaces_the_return() -> None:
    extension = {"days": 1, "day_rate": "118.00", "new_return_at": "2026-05-09T16:00"}
    assert late_due("2026-05-09T16:20", extension=extension) == "118.00"


def test_the_last_confirmed_extension_counts() -> None:
    first = {"days": 1, "day_rate": "118.00", "new_return_at": "2026-05-09T16:00"}
    second = {"days": 2, "day_rate": "110.00", "new_return_at": "2026-05-11T16:00"}
    third = {"days": 1, "day_rate": "110.00", "new_return_at": "2026-05-12T16:00", "confirmed": False}
    answer = late("2026-05-11T18:00", extension=first, extensions=[second, third])
    assert [f"{one.ref} {one.amount}" for one in answer.lines] == ["1 day 118.00", "2 days 220.00", "return 50.00"]


def test_a_free_extension_is_no_line() -> None:
    extension = {"days": 1, "day_rate": "0", "new_return_at": "2026-05-09T16:00"}
    assert late("2026-05-09T16:20", extension=extension).lines == ()


def test_a_branch_that_is_closed_for_a_year() -> None:
    rate = {**KEY_DROP, "opening_hours": {"fri": ["08:30", "17:00"]}, "closed_dates": every_friday()}
    answer = late("2026-05-08T21:00", rate=rate, return_method="key_drop", scheduled="2026-05-08T20:00")
    assert answer.derived == {"late_minutes": 60, "deemed_return_at": "2026-05-08T21:00"}


def every_friday() -> list[str]:
    return [(date(2026, 5, 8) + timedelta(weeks=week)).isoformat() for week in range(54)]


BREAK = {"opening_hours": {"fri": ["08:30", "12:00", "13:00", "17:00"]}, "after_hours_fee": "45.00"}


@pytest.mark.parametrize(
    ("clock", "outside"),
    [
        ("08:29", True),
        ("08:30", False),
        ("12:00", False),
        ("12:01", True),
        ("12:59", True),
        ("13:00", False),
        ("17:00", False),
        ("17:01", True),
    ],
)
def test_a_drop_while_the_branch_is_at_lunch_is_outside_the_hours(clock: str, outside: bool) -> None:
    answer = late(f"2026-05-08T{clock}", scheduled="2026-05-08T18:00", rate=BREAK, return_method="key_drop")
    assert [one.code for one in answer.lines] == (["AFTER_HOURS"] if outside else [])


def test_a_drop_at_lunch_is_deemed_after_it() -> None:
    rate = {**BREAK, "after_hours": "deemed_next_opening"}
    answer = late("2026-05-08T12:10", scheduled="2026-05-08T18:00", rate=rate, return_method="key_drop")
    assert answer.derived == {"late_minutes": 0, "deemed_return_at": "2026-05-08T13:00"}


def test_a_key_drop_counts_from_the_drop_and_not_from_the_gate() -> None:
    times = {"arrived_at": "2026-05-08T15:50", "return_method": "key_drop"}
    assert late("2026-05-08T16:45", rate={"opening_hours": HOURS}, **times).derived == {"late_minutes": 45}


def test_the_closed_day_of_the_return_itself_counts() -> None:
    sunday = late("2026-05-10T16:00", rate={"opening_hours": HOURS, "daily_cap": None}, return_method="key_drop")
    assert sunday.derived == {"late_minutes": 2880}
    monday = late("2026-05-11T16:00", rate={"opening_hours": HOURS, "daily_cap": None})
    assert monday.derived == {"late_minutes": 2880}
