"""A rental that is out: unit 407 left on 14 August at 09:00 BST, due back on the 18th at 11:00 BST."""

from datetime import UTC, datetime

import pytest

from fleet.models import Branch, Unit
from handover.rental.models import Rental
from tests.factories import PersonFactory, RentalFactory, UnitFactory
from tests.kept import anew
from tests.playing import go

DAY_3 = datetime(2026, 8, 16, 14, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def kept_out(kept_for_module: None) -> Rental:
    rental = RentalFactory(leg=UnitFactory())
    go(rental, PersonFactory(), diesel="82", odometer="41206 mi", gas_front="11.7")
    return rental


@pytest.fixture
def out(kept_out: Rental, db: None) -> Rental:
    return anew(kept_out)


@pytest.fixture
def unit_118(inverlark: Branch) -> Unit:
    """Stands in the yard, ready for a swap."""
    return UnitFactory(number="118")
