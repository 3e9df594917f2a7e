"""More days: agreed, confirmed, against the next booking, and what they do to the price."""

import json
from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from fleet.models import Unit
from handover.acting import CannotBe
from handover.rental.models import Rental
from handover.statement.actions import draw_up
from handover.trip.actions import ExtensionTerms, agree_extension, confirm_extension
from handover.trip.pricing import trip_part
from shared.access.models import Person
from tests.factories import BACK_AT, RentalFactory, an_act
from tests.playing import come_back
from tests.trip.conftest import DAY_3

pytestmark = pytest.mark.django_db
TWO_DAYS = ExtensionTerms(
    days=2, new_return_at=BACK_AT + timedelta(days=2), day_rate=Decimal("118.00"), channel="message",
    agreed_at=DAY_3, confirmed=True,
)  # fmt: skip


def agree(rental: Rental, by: Person, at: datetime = DAY_3, **changed: Any) -> Any:
    return agree_extension(rental=rental, terms=replace(TWO_DAYS, **changed), act=an_act(by, at=at))


def lines(rental: Rental, by: Person) -> dict[str, str]:
    statement = draw_up(rental, act=an_act(by, at=BACK_AT + timedelta(days=9)))
    return {line["code"]: line["amount"] for line in json.loads(statement.result)["lines"]}


def test_a_confirmed_one_moves_the_planned_return(out: Rental, isla: Person) -> None:
    extension = agree(out, isla)
    out.refresh_from_db()
    assert out.planned_back_at == BACK_AT + timedelta(days=2)
    assert (extension.was_back_at, extension.confirmed_by) == (BACK_AT, isla)


def test_unconfirmed_it_waits_and_counts_for_nothing(out: Rental, isla: Person) -> None:
    agree(out, isla, confirmed=False)
    out.refresh_from_db()
    assert out.planned_back_at == BACK_AT
    assert "scheduled_return_at" not in trip_part(out)["rental"]


def test_confirmed_later(out: Rental, isla: Person) -> None:
    extension = agree(out, isla, confirmed=False)
    confirm_extension(extension=extension, act=an_act(isla, at=DAY_3 + timedelta(hours=1)))
    out.refresh_from_db()
    assert out.planned_back_at == BACK_AT + timedelta(days=2)


def test_confirmed_once(out: Rental, isla: Person) -> None:
    with pytest.raises(CannotBe, match="was confirmed on 16 Aug 2026 15:00"):
        confirm_extension(extension=agree(out, isla), act=an_act(isla, at=DAY_3 + timedelta(hours=1)))


@pytest.mark.parametrize("new", [BACK_AT, BACK_AT - timedelta(hours=1)])
def test_it_ends_after_the_planned_return(out: Rental, isla: Person, new: datetime) -> None:
    with pytest.raises(CannotBe, match="planned for 18 Aug 2026 11:00 already") as refused:
        agree(out, isla, new_return_at=new)
    assert refused.value.field == "new_return_at"


def test_the_next_booking_of_the_unit_is_named(out: Rental, isla: Person, unit_407: Unit) -> None:
    later = {"planned_out_at": BACK_AT + timedelta(1), "planned_back_at": BACK_AT + timedelta(5)}
    next_one = RentalFactory(leg=unit_407, **later)
    with pytest.raises(CannotBe, match=f"booked for {next_one.number} from 19 Aug 2026 11:00"):
        agree(out, isla)


def test_up_to_the_minute_the_next_one_leaves(out: Rental, isla: Person, unit_407: Unit) -> None:
    RentalFactory(leg=unit_407, planned_out_at=BACK_AT + timedelta(2), planned_back_at=BACK_AT + timedelta(5))
    assert agree(out, isla).confirmed_at


def test_a_booking_made_meanwhile_stops_the_confirmation(out: Rental, isla: Person, unit_407: Unit) -> None:
    extension = agree(out, isla, confirmed=False)
    RentalFactory(leg=unit_407, planned_out_at=BACK_AT + timedelta(1), planned_back_at=BACK_AT + timedelta(5))
    with pytest.raises(CannotBe, match="is booked for"):
        confirm_extension(extension=extension, act=an_act(isla, at=DAY_3))


@pytest.mark.parametrize(
    ("changed", "field"),
    [({"days": 400}, "days"), ({"channel": " "}, "channel"), ({"day_rate": Decimal("1.005")}, "day_rate")],
)
def test_what_cannot_be_says_so(out: Rental, isla: Person, changed: dict[str, Any], field: str) -> None:
    with pytest.raises(CannotBe) as refused:
        agree(out, isla, **changed)
    assert refused.value.field == field


def test_two_days_are_charged_and_nothing_is_late(out: Rental, isla: Person, callum: Person) -> None:
    """2 days x 118.00 = 236.00; back 20 minutes before the new return."""
    agree(out, isla)
    come_back(out, callum, at=BACK_AT + timedelta(days=2, minutes=-20), diesel="82", gas_front="11.7")
    assert lines(out, callum) == {"EXTENSION": "236.00"}


def test_lateness_counts_from_the_new_return(out: Rental, isla: Person, callum: Person) -> None:
    """107 minutes after the new return: two begun hours at 25.00."""
    agree(out, isla)
    come_back(out, callum, at=BACK_AT + timedelta(days=2, minutes=107), diesel="82", gas_front="11.7")
    assert lines(out, callum) == {"EXTENSION": "236.00", "LATE": "50.00"}


def test_agreed_and_confirmed_by_nobody_it_is_late(out: Rental, isla: Person, callum: Person) -> None:
    """A day late, capped at 140.00."""
    agree(out, isla, confirmed=False)
    come_back(out, callum, at=BACK_AT + timedelta(days=1), diesel="82", gas_front="11.7")
    assert lines(out, callum) == {"LATE": "140.00"}


def test_back_dated_after_the_return_the_late_line_lapses(out: Rental, isla: Person, callum: Person) -> None:
    come_back(out, callum, at=BACK_AT + timedelta(days=1), diesel="82", gas_front="11.7")
    assert lines(out, callum) == {"LATE": "140.00"}
    agree(out, isla, at=BACK_AT + timedelta(days=3))
    assert lines(out, callum) == {"EXTENSION": "236.00"}


def test_one_after_another(out: Rental, isla: Person) -> None:
    agree(out, isla)
    agree(out, isla, days=1, new_return_at=BACK_AT + timedelta(days=3))
    rental = trip_part(out)["rental"]
    assert rental["scheduled_return_at"] == "2026-08-18T11:00+01:00"
    assert [row["new_return_at"][:10] for row in rental["extensions"]] == ["2026-08-20", "2026-08-21"]
