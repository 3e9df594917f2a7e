"""A person asks to be erased, and no dispute is open: with one, tests/stories tells it."""

from typing import Any

import pytest
from django.test import Client

from handover.customer.models import CustomerLink
from handover.photo.models import Photo
from handover.rental.models import Customer, Rental
from handover.retention.models import ErasureRequest
from shared.access.models import Person
from shared.files.store import read
from shared.ids import uuid7
from tests.retention.conftest import SOON, at

pytestmark = pytest.mark.django_db


@pytest.fixture
def manager(client: Client, ruth: Person) -> Client:
    client.force_login(ruth)
    return client


def demands_deletion(manager: Client, customer: Customer, after_commit: Any) -> None:
    with at(SOON), after_commit():
        answer = manager.post(f"/customer/{customer.pk}/erase/", {"key": str(uuid7())})
    assert answer.status_code == 302


def test_asked_twice_is_one_request(settled: Rental, manager: Client, after_commit: Any) -> None:
    key = str(uuid7())
    for _press in range(2):
        with at(SOON), after_commit():
            manager.post(f"/customer/{settled.customer_id}/erase/", {"key": key})
    assert ErasureRequest.objects.count() == 1
    assert settled.erasures.count() == 1


def test_without_a_dispute_all_goes_at_once_but_photos_of_the_vehicle(
    settled: Rental, manager: Client, after_commit: Any
) -> None:
    demands_deletion(manager, settled.customer, after_commit)
    assert Customer.objects.get().name == "Erased 25 Aug 2026 on request"
    assert ErasureRequest.objects.get().done_at == SOON
    assert CustomerLink.objects.get().revoked_at == SOON
    assert read(Photo.objects.get(view="left door").original)
    with at(SOON):
        text = manager.get(f"/customer/{settled.customer_id}/data/").text
    assert "shows the vehicle: goes 16 Aug 2032 by schedule" in text
