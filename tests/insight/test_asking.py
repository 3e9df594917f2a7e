"""Branches and a period out of an address, and the rentals that belong to it."""

from datetime import UTC, date, datetime, timedelta

import pytest

from fleet.models import Branch
from handover.acting import CannotBe
from handover.insight.asking import MOST_DAYS, asked_of
from handover.rental.models import Rental
from tests.factories import RentalFactory, UnitFactory

NOW = datetime(2026, 11, 30, 3, 30, tzinfo=UTC)


def test_the_last_ninety_days_of_all_branches(inverlark: Branch, port_averil: Branch) -> None:
    asked = asked_of({}, [inverlark, port_averil], now=NOW)
    assert asked.branches == (inverlark, port_averil)
    assert (asked.start, asked.end) == (date(2026, 9, 2), date(2026, 11, 30))
    assert (asked.end - asked.start).days == 89


def test_today_is_the_branchs_own(port_averil: Branch) -> None:
    """03:30 in London is still yesterday in Halifax."""
    assert asked_of({}, [port_averil], now=NOW).today == date(2026, 11, 29)


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"start": "soon"}, "start"),
        ({"end": "0001-01-01"}, "end"),
        ({"end": "9999-12-31"}, "end"),
        ({"start": "2026-09-01", "end": "2026-08-01"}, "end"),
        ({"start": "2020-01-01", "end": "2026-08-01"}, "start"),
    ],
)
def test_what_cannot_be_is_said_at_its_field(inverlark: Branch, said: dict[str, str], field: str) -> None:
    with pytest.raises(CannotBe) as problem:
        asked_of(said, [inverlark], now=NOW)
    assert problem.value.field == field


def test_the_longest_period_that_can_be(inverlark: Branch) -> None:
    end = date(2026, 8, 31)
    said = {"start": (end - timedelta(days=MOST_DAYS - 1)).isoformat(), "end": end.isoformat()}
    assert (asked_of(said, [inverlark], now=NOW).end - asked_of(said, [inverlark], now=NOW).start).days == MOST_DAYS - 1


def test_another_branch_is_not_there(inverlark: Branch) -> None:
    with pytest.raises(LookupError):
        asked_of({"branch": "port-averil"}, [inverlark], now=NOW)


def test_days_end_at_each_branchs_own_midnight(inverlark: Branch, port_averil: Branch) -> None:
    """23:30 UTC on 31 August is 1 September in London and still August in Halifax."""
    last = datetime(2026, 8, 31, 23, 30, tzinfo=UTC)
    for branch, number in ((inverlark, "407"), (port_averil, "266")):
        unit = UnitFactory(branch=branch, number=number)
        RentalFactory(branch=branch, leg=unit, planned_back_at=last, number=f"{branch.prefix}-1", state="out")
    asked = asked_of({"start": "2026-08-01", "end": "2026-08-31"}, [inverlark, port_averil], now=NOW)
    assert [rental.number for rental in asked.rentals] == ["PA-1"]


def test_what_never_went_out_does_not_count(inverlark: Branch, booked: Rental) -> None:
    asked = asked_of({"start": "2026-08-01", "end": "2026-08-31"}, [inverlark], now=NOW)
    assert list(asked.rentals) == []
    Rental.objects.update(state="out")
    assert list(asked.rentals) == [booked]
