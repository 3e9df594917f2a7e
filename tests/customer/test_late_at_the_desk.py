"""What staff see of it: on the day board, on the rental, and where an extension is agreed."""

from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from fleet.models import Branch
from handover.acting import AnyonesAct
from handover.board.queries import board_of
from handover.customer.actions import announce_late
from handover.customer.models import CustomerLink
from handover.rental.models import Rental
from handover.trip.actions import ExtensionTerms, agree_extension
from handover.zone import in_zone_of
from shared.access.models import Person
from shared.ids import uuid7
from tests.customer.conftest import AFTER, ON_THE_TRIP
from tests.customer.test_late import frozen_late
from tests.factories import BACK_AT, an_act

pytestmark = pytest.mark.django_db
BACK_DAY = date(2026, 8, 18)
AT_13 = BACK_AT + timedelta(hours=2)
WORDS = "The ferry of nine is full."


@pytest.fixture(autouse=True)
def _priced(out: Rental) -> None:
    frozen_late(out)


def says(link: CustomerLink, back_at: datetime = AT_13, *, at: datetime = ON_THE_TRIP) -> None:
    announce_late(link, back_at=back_at, words=WORDS, act=AnyonesAct(by=None, at=at, key=uuid7()))


def on_board(branch: Branch, now: datetime, day: date = BACK_DAY) -> tuple[str, str, str]:
    with in_zone_of(branch):
        said = board_of(branch, day, now=now).returns[0].said
    return said.state, said.lead, said.words


def confirmed(rental: Rental, isla: Person, until: datetime) -> None:
    terms = ExtensionTerms(0, until, Decimal(0), "phone", agreed_at=ON_THE_TRIP, confirmed=True)
    agree_extension(rental=rental, terms=terms, act=an_act(isla, at=ON_THE_TRIP + timedelta(minutes=5)))


def test_the_board_says_it_in_place_of_out(inverlark: Branch, link: CustomerLink) -> None:
    assert on_board(inverlark, ON_THE_TRIP) == ("ready", "", "Out")
    says(link)
    assert on_board(inverlark, ON_THE_TRIP) == ("ready", "", "Says 13:00")
    assert on_board(inverlark, BACK_AT - timedelta(minutes=20)) == ("ready", "", "Says 13:00")


def test_late_is_late_whatever_was_said(inverlark: Branch, link: CustomerLink) -> None:
    says(link)
    assert on_board(inverlark, BACK_AT + timedelta(minutes=40)) == ("late", "40 min late", "Says 13:00")


def test_another_day_is_named(inverlark: Branch, link: CustomerLink) -> None:
    says(link, BACK_AT + timedelta(days=1))
    assert on_board(inverlark, ON_THE_TRIP) == ("ready", "", "Says 19 Aug, 11:00")
    today = BACK_AT + timedelta(days=1, hours=-1)
    assert on_board(inverlark, today, date(2026, 8, 19)) == ("late", "23 h 00 late", "Says 11:00")


def test_the_last_word_counts(inverlark: Branch, link: CustomerLink) -> None:
    says(link)
    says(link, BACK_AT + timedelta(hours=3), at=ON_THE_TRIP + timedelta(minutes=1))
    assert on_board(inverlark, ON_THE_TRIP)[2] == "Says 14:00"


@pytest.mark.parametrize("gone", ["taken back", "confirmed", "back"])
def test_it_gives_way(inverlark: Branch, link: CustomerLink, out: Rental, isla: Person, gone: str) -> None:
    says(link)
    if gone == "taken back":
        says(link, BACK_AT, at=ON_THE_TRIP + timedelta(minutes=1))
    elif gone == "confirmed":
        confirmed(out, isla, AT_13)
    else:
        Rental.objects.filter(pk=out.pk).update(state="back")
    assert "Says" not in "".join(on_board(inverlark, ON_THE_TRIP))


def test_less_time_confirmed_than_was_asked_for_leaves_it(inverlark: Branch, link: Any, out: Any, isla: Person) -> None:
    says(link)
    confirmed(out, isla, AT_13 - timedelta(hours=1))
    assert on_board(inverlark, ON_THE_TRIP)[2] == "Says 13:00"


def test_the_rental_says_when_it_was_told_and_leads_on(as_isla: Client, link: CustomerLink, out: Rental) -> None:
    says(link)
    text = as_isla.get(f"/rental/{out.pk}/").text
    assert "<b>The customer says 18 Aug 13:00</b>, told 15 Aug 08:00. Their page said £36.00 due for it." in text
    assert WORDS in text
    assert f'href="/rental/{out.pk}/trip/">Agree more time' in text
    assert "The customer said when they will be back" in text


def test_the_trip_offers_that_time(as_isla: Client, link: CustomerLink, out: Rental) -> None:
    page = f"/rental/{out.pk}/trip/"
    assert 'value="2026-08-18T11:00"' in as_isla.get(f"{page}extension/").text
    says(link)
    assert "The customer says 18 Aug 13:00. Agree an extension to then" in as_isla.get(page).text
    assert 'name="new_return_at" value="2026-08-18T13:00"' in as_isla.get(f"{page}extension/").text


@pytest.mark.parametrize("page", ["rental/{}/trip/", "branch/inverlark/2026-08-18/"])
def test_it_is_read_with_what_is_read_anyhow(as_isla: Client, link: CustomerLink, out: Rental, page: str) -> None:
    counts = []
    for _ in range(2):
        with CaptureQueriesContext(connection) as queries:
            as_isla.get(f"/{page.format(out.pk)}")
        counts.append(len(queries))
        says(link)
    assert counts[0] == counts[1]


def test_the_customers_pages_ask_a_fixed_number_of_times(here: str, link: CustomerLink) -> None:
    phone, counts = Client(), []
    phone.get(here)
    for minute in range(3):
        says(link, at=AFTER - timedelta(days=2, minutes=-minute))
        with CaptureQueriesContext(connection) as queries:
            phone.get(f"{here}late/")
        counts.append(len(queries))
    assert len(set(counts)) == 1
    assert counts[0] <= 50
