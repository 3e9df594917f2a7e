"""A tablet: its browser, its number, and what it sends."""

import json
from typing import Any
from uuid import UUID

import pytest
from django.http import HttpResponse
from django.test import Client

from handover.tablet.devices import device_of, token_for
from shared.access.models import Device, Person

TABLET_2 = UUID("01990000-0000-7000-8000-000000000002")
TABLET_3 = UUID("01990000-0000-7000-8000-000000000003")


@pytest.fixture
def tablet_2(isla: Person) -> Device:
    """Isla signed in on it first."""
    return device_of(TABLET_2, isla)


@pytest.fixture
def tablet_3(callum: Person) -> Device:
    return device_of(TABLET_3, callum)


def post(client: Client, address: str, sent: Any) -> HttpResponse:
    """As the tablet's program posts: JSON."""
    return client.post(address, json.dumps(sent), content_type="application/json")  # type: ignore[return-value]


def signed_in(person: Person) -> Client:
    client = Client()
    client.force_login(person)
    return client


def token(person: Person, device: Device) -> str:
    return token_for(person, device)
