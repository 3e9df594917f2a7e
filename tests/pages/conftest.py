"""Rentals further on than booked, played through the actions, and browsers signed in as the cast."""

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client

from handover.record.models import Record
from handover.rental.models import Rental
from handover.statement.actions import draw_up
from handover.statement.models import Statement
from shared.access.models import Person
from shared.files.store import keep, read
from tests.factories import (
    BACK_AT,
    ExtraOfferFactory,
    PersonFactory,
    RentalFactory,
    ReturnBayFactory,
    UnitFactory,
    an_act,
)
from tests.kept import anew
from tests.playing import come_back, go

LEFT = {"diesel": "82", "gas_front": "11.7", "odometer": "41206"}
CAME_BACK = {"diesel": "47.5", "gas_front": "9.1", "odometer": "42018"}


@pytest.fixture
def signed_in() -> Callable[[Person], Client]:
    def browser(person: Person) -> Client:
        client = Client()
        client.force_login(person)
        return client

    return browser


@pytest.fixture
def as_callum(signed_in: Callable[[Person], Client], callum: Person) -> Client:
    return signed_in(callum)


@pytest.fixture
def as_ida(signed_in: Callable[[Person], Client], ida: Person) -> Client:
    """The host of the other branch."""
    return signed_in(ida)


@pytest.fixture
def as_maeve(signed_in: Callable[[Person], Client], maeve: Person) -> Client:
    """May book and set up, may not settle."""
    return signed_in(maeve)


@pytest.fixture(scope="module")
def kept_out(kept_for_module: None) -> Rental:
    """Maren Oduya's rental, gone with 82 L and 20 L prepaid."""
    unit = UnitFactory(odometer_km=41_000)
    rental = RentalFactory(leg=unit, extras=[ExtraOfferFactory()])
    go(rental, PersonFactory(), **LEFT)
    return rental


@pytest.fixture(scope="module")
def kept_back(kept_out: Rental) -> Rental:
    """31.5 L and 2.4 kg short, the first aid kit opened, 1 h 47 late."""
    come_back(kept_out, ReturnBayFactory(), seal="broken", **CAME_BACK)
    return kept_out


@pytest.fixture(scope="module")
def kept_priced(kept_back: Rental) -> Statement:
    return draw_up(kept_back, act=an_act(ReturnBayFactory(), at=BACK_AT))


@pytest.fixture
def out(kept_out: Rental, db: None) -> Rental:
    return anew(kept_out)


@pytest.fixture
def back(kept_back: Rental, out: Rental) -> Rental:
    return out


@pytest.fixture
def priced(kept_priced: Statement, back: Rental) -> Statement:
    return back.statements.get()


@pytest.fixture
def waiting_record(out: Rental) -> Record:
    """Ordered at the pickup signature, not made yet: tests hold back what happens after the transaction."""
    return Record.objects.get(rental=out)


@pytest.fixture(scope="session")
def sealed_once() -> dict[str, Any]:
    """The columns of the first record that a run made: rendering takes seconds, its file stays in the store."""
    return {}


@pytest.fixture
def made_record(isla: Person, django_capture_on_commit_callbacks: Any, sealed_once: dict[str, Any]) -> Record:
    """A pickup record, rendered, sealed and kept."""
    rental = RentalFactory(number="LK-20418", leg=UnitFactory(odometer_km=41_000))
    with django_capture_on_commit_callbacks(execute=not sealed_once):
        go(rental, isla, **LEFT)
    if not sealed_once:
        made = Record.objects.values("code", "state", "file", "size", "pdf_sha256", "json_sha256").get(rental=rental)
        sealed_once.update(made, pdf=read(made["file"]))
    Record.objects.update(**{name: value for name, value in sealed_once.items() if name != "pdf"})
    keep(sealed_once["pdf"], suffix=".pdf")
    return Record.objects.select_related("rental").get(rental=rental)
