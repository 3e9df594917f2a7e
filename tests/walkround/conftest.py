"""Walk-rounds under way, and a browser of each person to press in."""

import re
from collections.abc import Callable
from typing import Any
from uuid import UUID

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from handover.rental.models import Rental
from handover.walkround.models import WalkRound
from shared.access.models import Person
from shared.ids import uuid7
from tests.factories import BACK_AT
from tests.playing import go, item, start

OUT = {"diesel": "82", "gas_front": "11.7", "odometer": "66300"}
Press = Callable[..., HttpResponse]


@pytest.fixture
def pickup(booked: Rental, isla: Person) -> WalkRound:
    return start(booked, "pickup", isla)


@pytest.fixture
def away(booked: Rental, isla: Person) -> Rental:
    """Gone with 82 L of diesel and 5.8 kg of gas."""
    go(booked, isla, **OUT)
    return booked


@pytest.fixture
def back(away: Rental, callum: Person) -> WalkRound:
    """The return of it, begun by Callum."""
    return start(away, "return", callum, at=BACK_AT, arrived_at=BACK_AT)


def press(person: Person, name: str, *args: Any, htmx: bool = False, **data: Any) -> HttpResponse:
    """Post a form as the person, with a fresh key unless one is said."""
    client = Client()
    client.force_login(person)
    headers = {"HX-Request": "true"} if htmx else {}
    return client.post(reverse(name, args=args), {"key": str(uuid7()), **data}, headers=headers)


def look(person: Person, name: str, *args: Any) -> HttpResponse:
    client = Client()
    client.force_login(person)
    return client.get(reverse(name, args=args))


def asked(walk: WalkRound, code: str) -> UUID:
    """The id of a question by its code, text or title."""
    found: UUID = item(walk, code).id
    return found


def work_of(response: HttpResponse) -> str:
    """What stands in the page itself: its main part, without the pieces that wait in templates for their moment."""
    main = text_of(response).partition("<main")[2].partition("</main>")[0]
    return re.sub(r"<template.*?</template>", "", main, flags=re.DOTALL)


def text_of(response: HttpResponse) -> str:
    """The page as text, with the apostrophes that it escapes."""
    return response.content.decode().replace("&#x27;", "'")
