"""Run by test_bytes.py in a process of its own, with a database and folders of its own: play, erase or check."""

# ruff: noqa: E402 the settings come first

import os
import sys
from datetime import datetime
from unittest.mock import patch

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shared.settings")

import django

django.setup()

from django.core.management import call_command
from django.utils import timezone

from handover.rental.models import Customer
from handover.retention.actions import erase_person
from shared.access.models import Person
from shared.ids import uuid7
from tests.factories import BranchFactory, PersonFactory, an_act
from tests.retention import playing
from tests.tables import make_tables


def play() -> None:
    """From the booking to the settled rental; the clock stands on the trip while the link is used."""
    make_tables()
    branch = BranchFactory()
    isla, shots = PersonFactory(role="manager"), playing.shots()
    rental = playing.booked(branch, isla)
    playing.gone(rental, isla, shots)
    with at(playing.ON_TRIP):
        playing.noticed(rental, isla, shots)
    with at(playing.LATER):
        playing.back(rental, isla, shots)


def erase() -> None:
    """On the person's request, then the nightly run, which goes on with it and empties the free pages."""
    isla = Person.objects.get(username="isla")
    erase_person(Customer.objects.get(name=playing.NAME), act=an_act(isla, at=timezone.now(), key=uuid7()))
    call_command("retention", "--vacuum")


def check() -> None:
    """What the commands say of it afterwards."""
    call_command("verify_ledger")
    call_command("reprice", "--processes", "1")
    call_command("retention")


def at(now: datetime) -> "patch[object]":
    return patch("django.utils.timezone.now", lambda: now)


if __name__ == "__main__":
    {"play": play, "erase": erase, "check": check}[sys.argv[1]]()
