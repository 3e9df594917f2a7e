"""A lost tablet: revoked by an administrator, its sessions over, in the ledger, once."""

import json

import pytest
from django.contrib.sessions.models import Session
from django.test import Client
from django.urls import reverse

from handover.tablet.devices import device_of
from shared.access.models import Device, Person
from shared.access.revoking import revoke
from shared.ledger.models import Entry
from tests.factories import NINE
from tests.tablet.conftest import TABLET_2, TABLET_3


@pytest.fixture
def lost(isla: Person) -> Device:
    return device_of(TABLET_2, isla)


def on(person: Person, tablet: object) -> Client:
    """Signed in, with the session tied to the tablet as hello does."""
    client = Client()
    client.force_login(person)
    client.get(f"/tablet/hello/?device={tablet}")
    return client


def test_its_sessions_end_and_no_others(lost: Device, isla: Person, callum: Person, anders: Person) -> None:
    here, elsewhere = on(isla, TABLET_2), on(callum, TABLET_3)
    revoke(lost, by=anders, at=NINE)
    assert here.get("/tablet/day/").status_code == 401
    assert elsewhere.get("/tablet/day/").status_code == 200
    assert Session.objects.count() == 1


def test_it_is_told_once(lost: Device, isla: Person, anders: Person, ruth: Person) -> None:
    on(isla, TABLET_2)
    revoke(lost, by=anders, at=NINE)
    revoke(lost, by=ruth, at=NINE)
    entry = Entry.objects.get(kind="device.revoked")
    assert (entry.chain, entry.actor, json.loads(entry.payload)) == (lost.pk, anders, {"sessions": 1})
    assert Device.objects.get().revoked_by == anders


def test_an_administrator_revokes_it_at_the_desk(lost: Device, anders: Person) -> None:
    client = Client()
    client.force_login(anders)
    page = reverse("admin:shared_device_changelist")
    assert "Isla Macrae" in client.get(page).content.decode()
    client.post(page, {"action": "revoke_chosen", "_selected_action": [str(lost.pk)]})
    assert Device.objects.get().revoked_by == anders


def test_of_another_branch_it_is_not_there(lost: Device, port_averil: object) -> None:
    from tests.factories import PersonFactory

    other = PersonFactory(username="other", role="administrator", branches=[port_averil], is_staff=True)
    client = Client()
    client.force_login(other)
    assert "Isla Macrae" not in client.get(reverse("admin:shared_device_changelist")).content.decode()
