"""Fines and tolls: every parameter of their rule."""

from typing import Any

import pytest

from tests.charges.documents import due, priced, reasons

ADMIN = {"per_fine": "35.00", "toll_min": "5.00", "toll_pct": "10"}


def fine(**more: Any) -> dict[str, Any]:
    return {"kind": "fine", "ref": "notice 1", "amount": "60.00", **more}


def toll(ref: str = "toll 1", amount: str = "14.80", **more: Any) -> dict[str, Any]:
    return {"kind": "toll", "ref": ref, "amount": amount, **more}


def noticed(*notices: dict[str, Any], **admin: Any) -> dict[str, str]:
    return due(rules={"admin": {**ADMIN, **admin}}, notices=list(notices))


@pytest.mark.parametrize(
    ("notice", "expected"),
    [
        (fine(handling="driver_nominated"), {"FINE_ADMIN notice 1": "35.00"}),
        (fine(), {"FINE notice 1": "60.00", "FINE_ADMIN notice 1": "35.00"}),
        (toll(), {"TOLL toll 1": "14.80", "TOLL_ADMIN toll 1": "5.00"}),
        (toll(amount="80.00"), {"TOLL toll 1": "80.00", "TOLL_ADMIN toll 1": "8.00"}),
        (toll(handling="driver_nominated"), {"TOLL_ADMIN toll 1": "5.00"}),
        (fine(operator_delay=True), {"FINE notice 1": "60.00"}),
        (toll(operator_delay=True), {"TOLL toll 1": "14.80"}),
        (fine(penalty="20.00"), {"FINE notice 1": "40.00"}),
        (fine(penalty="60.00"), {}),
    ],
)
def test_passed_on_and_handled(notice: dict[str, Any], expected: dict[str, str]) -> None:
    assert noticed(notice) == expected


def test_without_fees() -> None:
    assert due(notices=[fine(), toll()]) == {"FINE notice 1": "60.00", "TOLL toll 1": "14.80"}


@pytest.mark.parametrize(
    ("notice", "reason"),
    [
        (fine(operator_caused=True), "operator_caused"),
        (fine(at="2026-05-03T13:59"), "not_applicable"),
        (fine(at="2026-05-10T10:01"), "not_applicable"),
        (fine(received_on="2027-05-11"), "too_late"),
        (fine(must_be_told=True), "not_proven"),
    ],
)
def test_why_a_notice_is_not_charged(notice: dict[str, Any], reason: str) -> None:
    terms = {"admin": {**ADMIN, "notice_window_months": 12}}
    statement = priced(rules=terms, rental={"returned_at": "2026-05-10T10:00"}, notices=[notice])
    assert (statement.lines, reasons(statement)) == ((), {"FINE notice 1": reason})


@pytest.mark.parametrize("at", ["2026-05-03T14:00", "2026-05-10T10:00"])
def test_a_notice_of_the_very_minute_of_pickup_or_return(at: str) -> None:
    answer = due(rental={"returned_at": "2026-05-10T10:00"}, notices=[fine(at=at)])
    assert answer == {"FINE notice 1": "60.00"}


def test_a_notice_in_its_window_of_which_the_customer_was_told() -> None:
    told = fine(at="2026-05-04T03:10", received_on="2027-05-10", must_be_told=True, customer_told_on="2027-05-11")
    assert len(noticed(told, notice_window_months=12)) == 2


def test_a_window_that_ends_in_a_shorter_month() -> None:
    times = {"pickup_at": "2026-08-20T10:00", "scheduled_return_at": "2026-08-31T10:00"}
    terms = {"admin": {**ADMIN, "notice_window_months": 6}}
    for received, charged in (("2027-02-28", True), ("2027-03-01", False)):
        answer = due(rules=terms, rental=times, notices=[fine(received_on=received)])
        assert bool(answer) is charged


def test_a_window_that_ends_in_the_february_of_a_leap_year() -> None:
    times = {"pickup_at": "2027-08-20T10:00", "scheduled_return_at": "2027-08-31T10:00"}
    terms = {"admin": {**ADMIN, "notice_window_months": 6}}
    for received, charged in (("2028-02-29", True), ("2028-03-01", False)):
        answer = due(rules=terms, rental=times, notices=[fine(received_on=received)])
        assert bool(answer) is charged


def day(number: int, ref: str) -> dict[str, Any]:
    return toll(ref, "30.00", at=f"2026-05-0{number}T12:00")


@pytest.mark.parametrize(
    ("per", "fees"),
    [
        ("passage", {"a": "5.00", "b": "5.00", "c": "5.00"}),
        ("day", {"2026-05-04": "6.00", "2026-05-05": "5.00"}),
        ("rental", {"rental": "9.00"}),
    ],
)
def test_tolls_that_share_a_fee(per: str, fees: dict[str, str]) -> None:
    answer = noticed(day(4, "a"), day(4, "b"), day(5, "c"), toll_fee_per=per)
    assert {key.split()[1]: value for key, value in answer.items() if key.startswith("TOLL_ADMIN")} == fees


def test_tolls_without_a_time_share_one_fee() -> None:
    answer = noticed(toll("a"), toll("b"), toll_fee_per="day")
    assert [key for key in answer if key.startswith("TOLL_ADMIN")] == ["TOLL_ADMIN rental"]
