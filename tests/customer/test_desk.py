"""The customer's link at the desk: made, seen as a code and as text, withdrawn; by whom."""

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from handover.customer.actions import make_link, revoke_link
from handover.customer.models import CustomerLink
from handover.customer.token import token_of
from handover.rental.models import Rental
from shared.access.models import Person
from tests.customer.conftest import ON_THE_TRIP, key
from tests.factories import an_act

pytestmark = pytest.mark.django_db
MOST = 14


def page(client: Client, rental: Rental) -> str:
    return str(client.get(f"/rental/{rental.pk}/customer/").text)


def test_the_rental_leads_there(as_isla: Client, out: Rental) -> None:
    assert f"/rental/{out.pk}/customer/" in as_isla.get(f"/rental/{out.pk}/").text


def test_made_it_is_seen_as_a_code_and_as_text(as_isla: Client, out: Rental) -> None:
    assert "No link yet." in page(as_isla, out)
    assert as_isla.post(f"/rental/{out.pk}/customer/make/", key()).status_code == 302
    text = page(as_isla, out)
    assert f"http://127.0.0.1:8000/c/{token_of(CustomerLink.objects.get())}/" in text
    assert '<div class="qr"><svg' in text
    assert "Not opened yet." in text
    assert 'value="maren@example.org"' in text


def test_when_it_was_opened_is_said(as_isla: Client, phone: Client, here: str, out: Rental) -> None:
    phone.get(here)
    assert "Last opened 15 Aug 08:00." in page(as_isla, out)


def test_withdrawn_it_is_shown_no_more(as_isla: Client, link: CustomerLink, out: Rental) -> None:
    assert as_isla.post(f"/customer-link/{link.pk}/revoke/", key()).status_code == 302
    text = page(as_isla, out)
    assert "Withdrawn" in text
    assert token_of(link) not in text


def test_withdrawn_twice_is_a_sentence(as_isla: Client, link: CustomerLink, isla: Person) -> None:
    revoke_link(link, act=an_act(isla, at=ON_THE_TRIP))
    answer = as_isla.post(f"/customer-link/{link.pk}/revoke/", key())
    assert (answer.status_code, "This link was withdrawn already." in answer.text) == (422, True)


def test_who_may_only_look_does_not_get_the_address(client: Client, link: CustomerLink, maeve: Person) -> None:
    client.force_login(maeve)
    text = page(client, link.rental)
    assert token_of(link) not in text
    assert "Make another link" not in text


def test_the_cab_cards_code_leads_to_the_customers_card(as_isla: Client, out: Rental, isla: Person) -> None:
    assert "The customer has no open link." in as_isla.get(f"/rental/{out.pk}/cab-card/").text
    link = make_link(out, act=an_act(isla, at=ON_THE_TRIP))
    assert f"/c/{token_of(link)}/cab-card/" in as_isla.get(f"/rental/{out.pk}/cab-card/").text


def test_a_cancelled_booking_gets_none(as_isla: Client, out: Rental) -> None:
    Rental.objects.filter(pk=out.pk).update(state="cancelled")
    answer = as_isla.post(f"/rental/{out.pk}/customer/make/", key())
    assert (answer.status_code, "was cancelled" in answer.text) == (422, True)


def test_it_asks_a_fixed_number_of_times(as_isla: Client, link: CustomerLink, isla: Person) -> None:
    counted = []
    for more in (0, 6):
        for _ in range(more):
            make_link(link.rental, act=an_act(isla, at=ON_THE_TRIP))
        with CaptureQueriesContext(connection) as queries:
            page(as_isla, link.rental)
        counted.append(len(queries))
    assert counted[0] == counted[1] <= MOST


def test_the_story_tells_of_it(as_isla: Client, link: CustomerLink, out: Rental) -> None:
    assert "Link for the customer made" in as_isla.get(f"/rental/{out.pk}/").text


def test_a_form_without_a_key(as_isla: Client, out: Rental) -> None:
    assert as_isla.post(f"/rental/{out.pk}/customer/make/").status_code == 422
