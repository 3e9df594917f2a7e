"""The damage page: grouping with the total first, a reason, prices of repairs."""

from typing import Any

import pytest
from django.db import connection
from django.http import HttpResponse
from django.test import Client
from django.test.utils import CaptureQueriesContext

from handover.damage.models import Grouping, RepairPrice
from handover.rental.models import Rental
from handover.statement.actions import draw_up
from shared.access.models import Person
from shared.ids import uuid7
from tests.damage.conftest import LATER, marks
from tests.factories import an_act

pytestmark = pytest.mark.django_db
MOST = 15


@pytest.fixture
def priced(quoted: Rental, callum: Person) -> Rental:
    draw_up(quoted, act=an_act(callum, at=LATER))
    return quoted


@pytest.fixture
def as_callum(client: Client, callum: Person) -> Client:
    client.force_login(callum)
    return client


def send(client: Client, rental: Rental, form: str, **said: Any) -> HttpResponse:
    keys = {"key": uuid7(), "price_key": uuid7()}
    return client.post(f"/rental/{rental.pk}/damages/{form}/", keys | said)  # type: ignore[return-value]


def together(rental: Rental, **said: str) -> dict[str, str]:
    return {f"event-{mark.pk}": "1" for mark in marks(rental)} | said


def test_it_shows_both_ways(as_callum: Client, priced: Rental) -> None:
    page = as_callum.get(f"/rental/{priced.pk}/damages/").text
    for words in ("Mark 1", "Mark 2", "As it stands", "£2\u202f080.00", "All in one", "£1\u202f040.00"):
        assert words in page


def test_the_total_first_and_nothing_kept(as_callum: Client, priced: Rental) -> None:
    answer = send(as_callum, priced, "group", **together(priced, preview="1"))
    assert "As chosen here" in answer.text
    assert not Grouping.objects.exists()


def test_merging_with_a_reason(as_callum: Client, priced: Rental) -> None:
    said = {"reason": "One post, one turn", "cause-1": "post", "place-1": "ferry queue"}
    assert send(as_callum, priced, "group", **together(priced, **said)).status_code == 302
    assert str(priced.statements.last().total) == "1040.000"  # type: ignore[union-attr]
    assert Grouping.objects.get().events[0]["place"] == "ferry queue"


def test_without_a_reason_the_choice_stays_with_its_total(as_callum: Client, priced: Rental) -> None:
    answer = send(as_callum, priced, "group", **together(priced))
    assert answer.status_code == 422
    assert "one event more is one excess more" in answer.text
    assert "As chosen here" in answer.text


def test_a_price(as_callum: Client, back: Rental) -> None:
    said = {"mark": marks(back)[0].pk, "basis": "estimate", "amount": "1200,00", "reference": "Workshop 118"}
    assert send(as_callum, back, "price", **said).status_code == 302
    assert str(RepairPrice.objects.get().amount) == "1200.000"


@pytest.mark.parametrize("said", [{"amount": "much"}, {"amount": ""}, {"basis": "guess"}, {"reference": ""}])
def test_a_price_that_cannot_be(as_callum: Client, back: Rental, said: dict[str, str]) -> None:
    plain = {"mark": marks(back)[0].pk, "basis": "estimate", "amount": "12", "reference": "W"}
    assert send(as_callum, back, "price", **{**plain, **said}).status_code == 422


def test_nothing_found(as_callum: Client, out: Rental) -> None:
    assert "No mark is new and none grew." in as_callum.get(f"/rental/{out.pk}/damages/").text


def test_before_it_is_priced_it_says_so(as_callum: Client, quoted: Rental) -> None:
    assert "Not priced yet." in as_callum.get(f"/rental/{quoted.pk}/damages/").text


def test_queries(as_callum: Client, priced: Rental) -> None:
    with CaptureQueriesContext(connection) as queries:
        as_callum.get(f"/rental/{priced.pk}/damages/")
    assert len(queries) <= MOST
