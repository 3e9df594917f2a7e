"""Maren Oduya's rental with a link of her own: out since 14 August, on a phone on the 15th."""

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
from django.test import Client
from django.utils import timezone

from handover.customer.actions import make_link
from handover.customer.models import CustomerLink
from handover.customer.token import token_of
from handover.rental.models import Rental
from handover.statement.actions import draw_up
from handover.statement.models import Statement
from shared.access.models import Person
from shared.ids import uuid7
from tests.factories import (
    RULES,
    ExtraOfferFactory,
    PersonFactory,
    RateCardFactory,
    RentalFactory,
    ReturnBayFactory,
    UnitFactory,
    an_act,
)
from tests.kept import anew, clock_at
from tests.playing import come_back, go

ON_THE_TRIP = datetime(2026, 8, 15, 7, tzinfo=UTC)
AFTER = datetime(2026, 8, 19, 7, tzinfo=UTC)
WASTE = {"grey_fee": "35.00", "toilet_fee": "60.00"}


@pytest.fixture(autouse=True, scope="module")
def clock() -> Iterator[None]:
    yield from clock_at(ON_THE_TRIP)


def at(monkeypatch: pytest.MonkeyPatch, now: datetime) -> None:
    monkeypatch.setattr(timezone, "now", lambda: now)


@pytest.fixture(scope="module")
def kept_out(kept_for_module: None, clock: None) -> Rental:
    """Left with 82 L, 20 L prepaid."""
    RateCardFactory(rules=RULES | {"waste": WASTE})
    rental = RentalFactory(leg=UnitFactory(odometer_km=41_000), extras=[ExtraOfferFactory()])
    go(rental, PersonFactory(), diesel="82", odometer="41206", gas_front="11.7")
    return rental


@pytest.fixture(scope="module")
def kept_statement(kept_out: Rental) -> Statement:
    """18.63 fuel, 11.04 gas, 42.00 kit, 50.00 late: 121.67."""
    callum = ReturnBayFactory()
    come_back(kept_out, callum, seal="broken", diesel="47.5", odometer="42018", gas_front="9.1")
    return draw_up(kept_out, act=an_act(callum, at=AFTER))


@pytest.fixture
def out(kept_out: Rental, db: None) -> Rental:
    return anew(kept_out)


@pytest.fixture
def link(out: Rental, isla: Person) -> CustomerLink:
    return make_link(out, act=an_act(isla, at=ON_THE_TRIP))


@pytest.fixture
def here(link: CustomerLink) -> str:
    """The address of the customer's page."""
    return f"/c/{token_of(link)}/"


@pytest.fixture
def phone() -> Client:
    """A browser that no one ever signed in on; a form sent from it has to hold without its site's token."""
    return Client(enforce_csrf_checks=True)


@pytest.fixture
def statement(kept_statement: Statement, out: Rental) -> Statement:
    return out.statements.get()


def key() -> dict[str, str]:
    return {"key": str(uuid7())}
