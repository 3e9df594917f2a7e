"""A booking by hand: what goes in, what cannot, and that nothing typed is lost."""

from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client

from fleet.models import Branch, Unit
from handover.rental.models import Rental
from shared.ids import uuid7
from tests.factories import ExtraOfferFactory, UnitFactory

PAGE = "/branch/inverlark/new-booking/"


def typed(booked_unit: Unit, /, **said: Any) -> dict[str, Any]:
    return {
        "key": uuid7(), "customer_name": "Maren Oduya", "language": "en", "unit": booked_unit.pk, "charged_days": "4",
        "planned_out_at": "2026-08-14T10:00", "planned_back_at": "2026-08-18T11:00",
        "drivers": "Maren Oduya\nEsi Larbi",
    } | said  # fmt: skip


def post(client: Client, booked_unit: Unit, /, **said: Any) -> HttpResponse:
    return client.post(PAGE, typed(booked_unit, **said))  # type: ignore[return-value]


def test_asks_for_a_unit_of_the_branch(as_isla: Client, unit_407: Unit, port_averil: Branch) -> None:
    UnitFactory(number="266", branch=port_averil)
    text = as_isla.get(PAGE).text
    assert "Unit 407" in text
    assert "Unit 266" not in text


def test_books(as_isla: Client, unit_407: Unit) -> None:
    answer = post(as_isla, unit_407)
    rental = Rental.objects.get()
    assert answer.url == f"/rental/{rental.pk}/"  # type: ignore[attr-defined]
    assert f"{rental.planned_out_at:%d %H:%M}" == "14 09:00"
    assert [driver.name for driver in rental.drivers.all()] == ["Maren Oduya", "Esi Larbi"]


def test_sells_extras(as_isla: Client, unit_407: Unit) -> None:
    offer = ExtraOfferFactory()
    assert "20 L (20 L of fuel), £29.00" in as_isla.get(PAGE).text
    post(as_isla, unit_407, extras=[offer.pk])
    assert Rental.objects.get().extras.get().name == "20 L"


def test_pressed_twice_books_once(as_isla: Client, unit_407: Unit) -> None:
    key = uuid7()
    post(as_isla, unit_407, key=key)
    post(as_isla, unit_407, key=key)
    assert Rental.objects.count() == 1


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"customer_name": ""}, "A rental needs the customer’s name."),
        ({"unit": ""}, "Choose the unit that goes out."),
        ({"charged_days": "0"}, "At least 1 day is charged."),
        ({"charged_days": "3.5"}, "Days are whole: 4, not 3.5."),
        ({"email": "maren"}, "This is no e-mail address. It looks like name@example.org."),
        ({"deposit_held": "plenty"}, "Write an amount in £, such as 500.00."),
        ({"deposit_held": "500.005"}, "GBP has 2 decimals; 500.005 has more."),
        ({"excess": "-1"}, "-1 is below zero. Give 0 or more."),
        ({"planned_back_at": "2026-08-14T09:00"}, "The return lies before the pickup. Give a later return."),
        ({"planned_out_at": "2026-03-29T01:30"}, "the clocks went forward over it"),
        ({"planned_out_at": ""}, "Give the day and time of the pickup."),
        ({"key": ""}, "This form has no key."),
    ],
)
def test_what_cannot_be(as_isla: Client, unit_407: Unit, said: dict[str, str], sentence: str) -> None:
    answer = post(as_isla, unit_407, **{"reference": "LM-40701", **said})
    assert answer.status_code == 422
    assert sentence in answer.text  # type: ignore[attr-defined]
    assert 'value="LM-40701"' in answer.text  # type: ignore[attr-defined]
    assert not Rental.objects.exists()


def test_the_sentence_stands_at_its_field(as_isla: Client, unit_407: Unit) -> None:
    text = post(as_isla, unit_407, charged_days="0").text  # type: ignore[attr-defined]
    assert 'aria-describedby="id_charged_days_error"' in text
    assert 'id="id_charged_days_error"' in text


def test_a_taken_unit(as_isla: Client, booked: Rental) -> None:
    answer = post(as_isla, booked.legs.get().unit)
    assert f"Unit 407 is out for {booked.number} in that time." in answer.text  # type: ignore[attr-defined]


def test_needs_the_right_to_book(as_callum: Client, inverlark: Branch) -> None:
    assert as_callum.get(PAGE).status_code == 403


def test_another_branch_is_not_there(as_ida: Client, inverlark: Branch) -> None:
    assert as_ida.get(PAGE).status_code == 404


def test_neither_put_nor_delete(as_isla: Client, inverlark: Branch) -> None:
    assert as_isla.put(PAGE).status_code == 405
