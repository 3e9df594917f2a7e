"""The page of one rental: what it shows, and the one way on from each state."""

from datetime import date

import pytest
from django.test import Client

from fleet.models import DueDate
from handover.rental.models import Rental
from handover.statement.models import Statement
from shared.access.models import Person
from tests.factories import ExtraOfferFactory, RentalFactory
from tests.playing import start


def page(client: Client, rental: Rental) -> str:
    return client.get(f"/rental/{rental.pk}/").text


def test_says_what_was_agreed(as_isla: Client, booked: Rental) -> None:
    text = page(as_isla, booked)
    for words in (booked.number, "Maren Oduya", "LRK 407", "excess £1\u202f000.00", "£500.00", "14 Aug, 10:00"):
        assert words in text


def test_says_what_an_extra_covers(as_isla: Client, unit_407: object) -> None:
    rental = RentalFactory(leg=unit_407, extras=[ExtraOfferFactory()])
    assert "<td>20 L of fuel</td>" in page(as_isla, rental)


def work_of(text: str) -> str:
    """The main part of the page, without what waits in templates."""
    return text.partition("<main")[2].partition("</main>")[0]


def test_says_that_there_are_no_extras(as_isla: Client, booked: Rental) -> None:
    assert "Everything that is used is paid at its full price." in page(as_isla, booked)


def test_booked_leads_to_the_pickup(as_isla: Client, booked: Rental) -> None:
    text = work_of(page(as_isla, booked))
    assert f'action="/rental/{booked.pk}/begin-pickup/"' in text
    assert text.count('class="go"') == 1


def test_pickup_belongs_to_the_host(as_callum: Client, booked: Rental) -> None:
    text = work_of(page(as_callum, booked))
    assert "A host begins the pickup." in text
    assert 'class="go"' not in text


def test_held_says_why_in_place_of_the_way_on(as_isla: Client, booked: Rental) -> None:
    DueDate.objects.create(unit=booked.legs.get().unit, kind="gas", due_on=date(2026, 8, 16))
    text = work_of(page(as_isla, booked))
    assert "Unit 407 stays: gas inspection is due on 16 Aug 2026, the rental runs to 18 Aug 2026." in text
    assert 'class="go"' not in text


def test_unit_still_out_for_another(as_isla: Client, out: Rental) -> None:
    later = RentalFactory(leg=out.legs.get().unit)
    assert f"Unit 407 is still out for {out.number}." in page(as_isla, later)


def test_under_way_goes_on(as_isla: Client, booked: Rental, isla: Person) -> None:
    walk = start(booked, "pickup", isla)
    text = page(as_isla, booked)
    assert f'<a class="go" href="/walk/{walk.pk}/"><small>Walk-round</small>Go on with pickup</a>' in text


def test_out_leads_to_the_return(as_callum: Client, out: Rental) -> None:
    text = page(as_callum, out)
    assert f'action="/rental/{out.pk}/begin-return/"' in text
    assert "Key drop" in text


def test_back_leads_to_the_statement(as_callum: Client, back: Rental) -> None:
    assert f'<a class="go" href="/rental/{back.pk}/statement/">' in page(as_callum, back)


def test_cancelled_leads_nowhere(as_isla: Client, booked: Rental) -> None:
    Rental.objects.update(state="cancelled")
    assert "Nothing more is done here." in page(as_isla, booked)


def test_lists_statements_and_records(as_callum: Client, priced: Statement) -> None:
    text = page(as_callum, priced.rental)
    assert "Version 1: " in text
    assert "being made" in text


def test_tells_its_story(as_isla: Client, out: Rental) -> None:
    text = page(as_isla, out)
    for words in ("Pickup begun", "Walk-round signed: customer", "Gone: pickup signed", "3 readings, 2 topics"):
        assert words in text


def test_another_branch_is_not_there(as_ida: Client, booked: Rental) -> None:
    assert as_ida.get(f"/rental/{booked.pk}/").status_code == 404


def test_no_such_rental(as_isla: Client) -> None:
    assert as_isla.get("/rental/01990000-0000-7000-8000-000000000000/").status_code == 404


@pytest.mark.parametrize("way", ["post", "put", "delete"])
def test_only_shows(as_isla: Client, booked: Rental, way: str) -> None:
    assert getattr(as_isla, way)(f"/rental/{booked.pk}/").status_code == 405
