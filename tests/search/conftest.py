"""A rental gone and come back, with words in many places, and one of another branch."""

from collections.abc import Callable

import pytest
from django.test import Client

from fleet.models import Branch
from handover.rental.models import Customer, Rental
from shared.access.models import Person
from tests.factories import CustomerFactory, RentalFactory, UnitFactory
from tests.pages.conftest import as_callum, back, kept_back, kept_out, kept_priced, out, priced, signed_in

__all__ = ["as_callum", "back", "kept_back", "kept_out", "kept_priced", "out", "priced", "signed_in"]

Look = Callable[..., str]


@pytest.fixture
def as_ruth(signed_in: Callable[[Person], Client], ruth: Person) -> Client:
    return signed_in(ruth)


@pytest.fixture
def as_ida(signed_in: Callable[[Person], Client], ida: Person) -> Client:
    return signed_in(ida)


@pytest.fixture
def elsewhere(port_averil: Branch) -> Rental:
    """Of Port Averil: Henrike Sørby, unit 812."""
    customer: Customer = CustomerFactory(name="Henrike Sørby", email="")
    unit = UnitFactory(number="812", branch=port_averil)
    return RentalFactory(number="PA-30001", branch=port_averil, customer=customer, leg=unit)
