"""A tablet: its browser, its number, and what it sends."""

import json
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

import pytest
from django.http import HttpResponse
from django.test import Client
from django.utils import timezone

from handover.rental.models import Rental
from handover.tablet.devices import device_of, token_for
from handover.walkround.models import WalkRound
from shared.access.models import Device, Person
from shared.ids import uuid7
from tests.playing import start

TABLET_2 = UUID("01990000-0000-7000-8000-000000000002")
TABLET_3 = UUID("01990000-0000-7000-8000-000000000003")


def post(client: Client, address: str, sent: Any) -> HttpResponse:
    """As the tablet's program posts: JSON."""
    return client.post(address, json.dumps(sent), content_type="application/json")  # type: ignore[return-value]


def signed_in(person: Person) -> Client:
    client = Client()
    client.force_login(person)
    return client


@dataclass
class Tablet:
    """In the hands of `person`; `relay` sends on what others told, else the person does. `ahead` is its clock."""

    device: Device
    person: Person
    relay: Person | None = None
    ahead: timedelta = timedelta()
    mirrors: bool = False
    takes_rows: bool = False
    last: int = 0
    client: Client = field(init=False)

    def __post_init__(self) -> None:
        self.client = signed_in(self.relay or self.person)

    def says(
        self, kind: str, walk: Any, item: Any = None, /, *, at: datetime | None = None, **said: Any
    ) -> dict[str, Any]:
        """An entry with the next number; words in `said` that are no part of it are fields."""
        self.last += 1
        parts = {name: said.pop(name) for name in PARTS if name in said}
        return {
            "key": str(uuid7()), "seq": self.last, "kind": kind, "walk": str(getattr(walk, "pk", walk)), "station": 2,
            "item": str(item) if item else None, "fields": said, "base": "",
            "at": ((at or timezone.now()) + self.ahead).isoformat(), "author": str(self.person.pk),
            "token": token_for(self.person, self.device), **parts,
        }  # fmt: skip

    def send(self, *entries: Any) -> Any:
        now = (timezone.now() + self.ahead).isoformat()
        sent = {
            "device": str(self.device.pk), "now": now, "mirrors": self.mirrors, "rows": self.takes_rows,
            "entries": entries,
        }  # fmt: skip
        return post(self.client, "/tablet/entries/", sent).json()

    def told(self, *entries: Any) -> list[str]:
        """The status of each."""
        by_key = {ack["key"]: ack["status"] for ack in self.send(*entries)["acks"]}
        return [by_key[entry["key"]] for entry in entries]

    def answer(self, entry: Any) -> Any:
        """The one acknowledgement of the one entry."""
        return self.send(entry)["acks"][0]


PARTS = ("key", "seq", "station", "base", "author", "token", "fields")


@pytest.fixture
def tablet_2(isla: Person) -> Device:
    """Isla signed in on it first."""
    return device_of(TABLET_2, isla)


@pytest.fixture
def tablet_3(callum: Person) -> Device:
    return device_of(TABLET_3, callum)


@pytest.fixture
def two(isla: Person, tablet_2: Device) -> Tablet:
    """Tablet 2 in the hands of Isla."""
    return Tablet(tablet_2, isla)


@pytest.fixture
def three(ruth: Person, tablet_3: Device) -> Tablet:
    """Tablet 3 in the hands of Ruth, the manager."""
    return Tablet(tablet_3, ruth)


@pytest.fixture
def pickup(booked: Rental, isla: Person) -> WalkRound:
    """Under way since an hour."""
    return start(booked, "pickup", isla, at=timezone.now() - timedelta(hours=1))


def asked(walk: WalkRound, code: str) -> UUID:
    """The id of a question by its code, text or title."""
    for station in walk.sheet.data.stations:
        for ask in (*station.instruments, *station.kits, *station.counts, *station.checks, *station.topics):
            if code in {getattr(ask, name, "") for name in ("code", "text", "title")}:
                return ask.id
    raise LookupError(code)
