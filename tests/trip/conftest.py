"""A rental that is out: unit 407 left on 14 August at 09:00 BST, due back on the 18th at 11:00 BST."""

from datetime import UTC, datetime

import pytest

from fleet.models import Branch, Unit
from handover.rental.models import Rental
from shared.access.models import Person
from tests.factories import RentalFactory, UnitFactory
from tests.playing import go

DAY_3 = datetime(2026, 8, 16, 14, 0, tzinfo=UTC)


@pytest.fixture
def out(isla: Person, unit_407: Unit) -> Rental:
    rental = RentalFactory(leg=unit_407)
    go(rental, isla, diesel="82", odometer="41206 mi", gas_front="11.7")
    return rental


@pytest.fixture
def unit_118(inverlark: Branch) -> Unit:
    """Stands in the yard, ready for a swap."""
    return UnitFactory(number="118")
