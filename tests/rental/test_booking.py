"""Booking by hand, by CSV and by program all go through one action."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.http import Http404

from fleet.models import Branch, Unit
from handover.acting import CannotBe
from handover.rental.actions import book
from handover.rental.booking import BookingDetails, ExtraPurchase
from handover.rental.models import Rental
from shared.access.models import Person
from shared.access.scope import NotAllowed
from shared.ledger.models import Entry
from tests.factories import BACK_AT, NINE, OUT_AT, ExtraOfferFactory, UnitFactory, an_act

pytestmark = pytest.mark.django_db


@pytest.fixture
def details(unit_407: Unit) -> BookingDetails:
    return BookingDetails(
        customer_name="Maren Oduya", unit=unit_407, planned_out_at=OUT_AT, planned_back_at=BACK_AT, charged_days=4,
        drivers=("Maren Oduya",), excess=Decimal("100.00"), deposit_held=Decimal("500.00"),
    )  # fmt: skip


def test_books_with_leg_driver_and_extra(isla: Person, inverlark: Branch, details: BookingDetails) -> None:
    bought = ExtraPurchase(ExtraOfferFactory(), NINE)
    rental = book(branch=inverlark, details=replace(details, extras=(bought,)), act=an_act(isla))
    assert rental.legs.get().unit.number == "407"
    assert rental.drivers.get().name == "Maren Oduya"
    assert rental.extras.get().covers == {"limits": {"fuel_litres": "20"}}


def test_numbers_have_no_gaps(isla: Person, inverlark: Branch, details: BookingDetails) -> None:
    first = book(branch=inverlark, details=details, act=an_act(isla))
    with pytest.raises(CannotBe):
        book(branch=inverlark, details=details, act=an_act(isla))
    other = replace(details, unit=UnitFactory(number="118"))
    second = book(branch=inverlark, details=other, act=an_act(isla))
    assert [first.number, second.number] == ["LK-20001", "LK-20002"]


def test_a_replay_books_once(isla: Person, inverlark: Branch, details: BookingDetails) -> None:
    act = an_act(isla)
    assert book(branch=inverlark, details=details, act=act) == book(branch=inverlark, details=details, act=act)
    assert Rental.objects.count() == 1
    assert Entry.objects.filter(kind="rental.booked").count() == 1


def test_the_customer_stays_out_of_the_ledger(isla: Person, inverlark: Branch, details: BookingDetails) -> None:
    book(branch=inverlark, details=details, act=an_act(isla))
    assert "Maren" not in Entry.objects.get().payload


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"planned_back_at": OUT_AT - timedelta(hours=1)}, "planned_back_at", "lies before the pickup"),
        ({"charged_days": 0}, "charged_days", "At least 1 day"),
        ({"customer_name": "  "}, "customer_name", "needs the customer's name"),
        ({"deposit_held": Decimal("-1")}, "deposit_held", "below zero"),
        ({"charged_days": 10**20}, "charged_days", "At most 365 days"),
        ({"deposit_held": Decimal(10**9)}, "deposit_held", "more than can be kept"),
        ({"drivers": ("M" * 121,)}, "drivers", "room for 120 letters"),
        ({"drivers": ("Maren",) * 21}, "drivers", "21 drivers cannot be"),
        ({"excess": Decimal("0.005")}, "excess", "GBP has 2 decimals"),
    ],
)
def test_what_cannot_be_says_so(
    isla: Person, inverlark: Branch, details: BookingDetails, change: dict[str, Any], field: str, words: str
) -> None:
    with pytest.raises(CannotBe, match=words) as refused:
        book(branch=inverlark, details=replace(details, **change), act=an_act(isla))
    assert refused.value.field == field
    assert not Rental.objects.exists()


def test_a_unit_goes_out_once(isla: Person, inverlark: Branch, details: BookingDetails) -> None:
    book(branch=inverlark, details=details, act=an_act(isla))
    overlapping = replace(
        details, planned_out_at=BACK_AT - timedelta(minutes=1), planned_back_at=BACK_AT + timedelta(1)
    )
    with pytest.raises(CannotBe, match="out for LK-20001"):
        book(branch=inverlark, details=overlapping, act=an_act(isla))


def test_back_and_out_at_the_same_minute_is_no_clash(isla: Person, inverlark: Branch, details: BookingDetails) -> None:
    book(branch=inverlark, details=details, act=an_act(isla))
    book(
        branch=inverlark,
        details=replace(details, planned_out_at=BACK_AT, planned_back_at=BACK_AT + timedelta(days=2)),
        act=an_act(isla),
    )
    assert Rental.objects.count() == 2


def test_the_same_reference_comes_in_once(isla: Person, inverlark: Branch, details: BookingDetails) -> None:
    book(branch=inverlark, details=replace(details, reference="B-9"), act=an_act(isla))
    again = replace(details, reference="B-9", unit=UnitFactory(number="118"))
    with pytest.raises(CannotBe, match="already here"):
        book(branch=inverlark, details=again, act=an_act(isla))


def test_another_branch_does_not_exist(ida: Person, inverlark: Branch, details: BookingDetails) -> None:
    with pytest.raises(Http404):
        book(branch=inverlark, details=details, act=an_act(ida))


def test_the_return_bay_books_nothing(callum: Person, inverlark: Branch, details: BookingDetails) -> None:
    with pytest.raises(NotAllowed, match="A return bay cannot do this"):
        book(branch=inverlark, details=details, act=an_act(callum))
