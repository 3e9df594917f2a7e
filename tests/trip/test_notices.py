"""Fines and tolls: by plate and local time, told before they are charged, no fee for what lay at the branch."""

import json
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.http import Http404

from handover.acting import CannotBe
from handover.rental.models import Rental
from handover.statement.actions import draw_up
from handover.trip.actions import NoticeSaid, note_notice, tell_of_notice
from handover.trip.models import Notice
from shared.access.models import Person
from tests.factories import (
    BACK_AT,
    PersonFactory,
    RateCardFactory,
    RentalFactory,
    ReturnBayFactory,
    UnitFactory,
    an_act,
)
from tests.kept import anew
from tests.playing import come_back, go
from tests.trip.conftest import DAY_3

pytestmark = pytest.mark.django_db
WEEKS_LATER = datetime(2026, 9, 10, 9, tzinfo=UTC)
FINE = NoticeSaid(
    kind="fine", ref="PCN 4711", authority="Glen Council", amount=Decimal("60.00"), plate="LRK 407", at=DAY_3,
    zone="Europe/London", handling="paid_by_operator", received_on=date(2026, 9, 1), deadline_on=date(2026, 9, 14),
    customer_told_on=date(2026, 9, 3),
)  # fmt: skip


def note(by: Person, *, rental: Rental | None = None, at: datetime = WEEKS_LATER, **changed: Any) -> Notice:
    return note_notice(notice=replace(FINE, **changed), act=an_act(by, at=at), rental=rental)


@pytest.fixture(scope="module")
def kept_back(kept_for_module: None) -> Rental:
    """Back in time and full; handling a fine costs 30.00, a toll 10 % and 4.00 at least."""
    admin = {"admin": {"per_fine": "30.00", "toll_min": "4.00", "toll_pct": "10"}}
    RateCardFactory(number=8, valid_from=date(2026, 8, 1), rules=admin)
    rental = RentalFactory(leg=UnitFactory())
    go(rental, PersonFactory())
    come_back(rental, ReturnBayFactory(), at=BACK_AT)
    return rental


@pytest.fixture
def back(kept_back: Rental, db: None) -> Rental:
    return anew(kept_back)


def due(rental: Rental, by: Person) -> dict[str, str]:
    result = json.loads(draw_up(rental, act=an_act(by, at=WEEKS_LATER)).result)
    return {line["code"]: line["amount"] for line in result["lines"]}


def test_passed_on_with_its_fee(back: Rental, callum: Person) -> None:
    note(callum)
    assert due(back, callum) == {"FINE": "60.00", "FINE_ADMIN": "30.00"}


def test_the_driver_named_only_the_fee(back: Rental, callum: Person) -> None:
    note(callum, handling="driver_nominated")
    assert due(back, callum) == {"FINE_ADMIN": "30.00"}


def test_a_toll_with_the_least_fee(back: Rental, callum: Person) -> None:
    note(callum, kind="toll", amount=Decimal("14.80"))
    assert due(back, callum) == {"TOLL": "14.80", "TOLL_ADMIN": "4.00"}


def test_nothing_before_the_customer_has_a_copy(back: Rental, callum: Person) -> None:
    notice = note(callum, customer_told_on=None)
    assert due(back, callum) == {}
    tell_of_notice(notice=notice, told_on=date(2026, 9, 4), act=an_act(callum, at=WEEKS_LATER))
    assert due(back, callum) == {"FINE": "60.00", "FINE_ADMIN": "30.00"}


def test_past_its_deadline_at_the_branch_no_fee_and_no_penalty(back: Rental, callum: Person) -> None:
    """60.00 of which 20.00 is the penalty: 40.00."""
    notice = note(callum, deadline_on=date(2026, 9, 9), penalty=Decimal("20.00"))
    assert notice.operator_delay
    assert due(back, callum) == {"FINE": "40.00"}


def test_come_after_its_deadline_it_is_not_the_branch_s_delay(back: Rental, callum: Person) -> None:
    assert not note(callum, deadline_on=date(2026, 8, 30)).operator_delay


def test_what_the_branch_caused_costs_nothing(back: Rental, callum: Person) -> None:
    note(callum, operator_caused=True)
    assert due(back, callum) == {}


def test_a_settled_rental_takes_notices(back: Rental, callum: Person) -> None:
    Rental.objects.update(state=Rental.State.SETTLED)
    assert note(callum).rental == back


def test_minutes_decide_between_two_rentals(back: Rental, isla: Person, callum: Person) -> None:
    after = RentalFactory(leg=UnitFactory(), planned_out_at=BACK_AT, planned_back_at=BACK_AT + timedelta(days=3))
    go(after, isla, at=BACK_AT + timedelta(minutes=45))
    assert note(callum, ref="A").rental == back
    later = replace(FINE, ref="B", at=BACK_AT + timedelta(minutes=45))
    assert note_notice(notice=later, act=an_act(callum, at=WEEKS_LATER)).rental == after
    between = replace(FINE, ref="C", at=BACK_AT + timedelta(minutes=20))
    with pytest.raises(CannotBe, match="was in the yard on 18 Aug 2026 11:20"):
        note_notice(notice=between, act=an_act(callum, at=WEEKS_LATER))


def test_on_the_page_of_another_rental_it_says_so(back: Rental, isla: Person, callum: Person) -> None:
    other = RentalFactory(leg=UnitFactory(number="118"))
    go(other, isla)
    with pytest.raises(CannotBe, match=f"was not with {other.number}") as refused:
        note(callum, rental=other)
    assert refused.value.field == "at"


def test_for_another_branch_the_rental_is_not_there(back: Rental, ida: Person) -> None:
    with pytest.raises(Http404):
        note(ida)


@pytest.mark.parametrize(
    ("changed", "field", "words"),
    [
        ({"ref": " "}, "ref", "has a number"),
        ({"kind": "tax"}, "kind", "a fine or a toll"),
        ({"amount": Decimal(0)}, "amount", "0 moves nothing"),
        ({"penalty": Decimal("60.01")}, "penalty", "it cannot be more"),
        ({"received_on": date(2026, 8, 15)}, "received_on", "before the offence"),
        ({"received_on": date(2026, 9, 11)}, "received_on", "in the future"),
        ({"customer_told_on": date(2026, 8, 31)}, "customer_told_on", "came on 1 Sept 2026"),
        ({"customer_told_on": date(2026, 9, 11)}, "customer_told_on", "still to come"),
    ],
)
def test_what_cannot_be_says_so(
    back: Rental, callum: Person, changed: dict[str, Any], field: str, words: str
) -> None:  # fmt: skip
    with pytest.raises(CannotBe, match=words) as refused:
        note(callum, **changed)
    assert refused.value.field == field
    assert not Notice.objects.exists()


def test_one_number_is_charged_once(back: Rental, callum: Person) -> None:
    note(callum)
    with pytest.raises(CannotBe, match="Notice PCN 4711 is already here"):
        note(callum)


def test_told_once(back: Rental, callum: Person) -> None:
    with pytest.raises(CannotBe, match="has it since 3 Sept 2026"):
        tell_of_notice(notice=note(callum), told_on=date(2026, 9, 4), act=an_act(callum, at=WEEKS_LATER))
