"""A tablet in the yard on which Isla has signed in with her password, and her PIN 4071."""

from uuid import UUID

import pytest
from django.test import Client

from shared.access.device_cookie import device_in
from shared.access.models import Person
from shared.access.pins import set_pin
from tests.factories import NINE, PASSWORD

PIN = "4071"


@pytest.fixture
def isla_with_pin(isla: Person) -> Person:
    set_pin(isla, password=PASSWORD, pin=PIN, at=NINE)
    return isla


@pytest.fixture
def tablet(client: Client, isla_with_pin: Person, callum: Person) -> Client:
    """Isla, then Callum, who has no PIN: he is signed in now."""
    for username in ("isla", "callum"):
        client.post("/sign-in/?other=1", {"username": username, "password": PASSWORD})
    return client


@pytest.fixture
def device_id(tablet: Client) -> UUID:
    request = tablet.get("/people-here/").wsgi_request
    found = device_in(request)
    assert found is not None
    return found
