"""An Extra is sold until the pickup is signed, and never after."""

import pytest
from django.http import Http404
from django.test import Client

from handover.acting import CannotBe
from handover.rental.models import ExtraOffer, Rental
from handover.rental.selling import sell_extra
from shared.access.models import Person
from shared.access.scope import NotAllowed
from shared.ids import uuid7
from tests.factories import ExtraOfferFactory, an_act
from tests.playing import go

pytestmark = pytest.mark.django_db


@pytest.fixture
def offer(booked: Rental) -> ExtraOffer:
    return ExtraOfferFactory()


def test_sold_as_it_is_offered_now(booked: Rental, offer: ExtraOffer, isla: Person) -> None:
    extra = sell_extra(booked, offer=offer.pk, act=an_act(isla))
    assert (extra.name, extra.price, extra.covers) == (offer.name, offer.price, offer.covers)


def test_a_replay_sells_once(booked: Rental, offer: ExtraOffer, isla: Person) -> None:
    act = an_act(isla)
    assert sell_extra(booked, offer=offer.pk, act=act) == sell_extra(booked, offer=offer.pk, act=act)
    assert booked.extras.count() == 1


def test_after_the_signature_it_is_refused_in_a_sentence(booked: Rental, offer: ExtraOffer, isla: Person) -> None:
    go(booked, isla, diesel="82")
    with pytest.raises(CannotBe, match="signed on 14 Aug 09:00; an Extra counts only when bought before") as refused:
        sell_extra(booked, offer=offer.pk, act=an_act(isla))
    assert refused.value.field == "offer"
    assert not booked.extras.exists()


def test_what_is_not_sold_here(booked: Rental, offer: ExtraOffer, isla: Person) -> None:
    ExtraOffer.objects.update(retired=True)
    with pytest.raises(CannotBe, match="not sold here"):
        sell_extra(booked, offer=offer.pk, act=an_act(isla))


def test_the_return_bay_sells_nothing(booked: Rental, offer: ExtraOffer, callum: Person) -> None:
    with pytest.raises(NotAllowed):
        sell_extra(booked, offer=offer.pk, act=an_act(callum))


def test_another_branch_does_not_exist(booked: Rental, offer: ExtraOffer, ida: Person) -> None:
    with pytest.raises(Http404):
        sell_extra(booked, offer=offer.pk, act=an_act(ida))


def test_from_the_page(booked: Rental, offer: ExtraOffer, as_isla: Client) -> None:
    as_isla.post(f"/rental/{booked.pk}/extra/", {"offer": str(offer.pk), "key": str(uuid7())})
    assert booked.extras.get().name == "20 L"


def test_nothing_chosen_is_said_at_the_list(booked: Rental, offer: ExtraOffer, as_isla: Client) -> None:
    answer = as_isla.post(f"/rental/{booked.pk}/extra/", {"offer": "", "key": str(uuid7())})
    assert answer.status_code == 422
    assert "Choose one of the list." in answer.content.decode()
