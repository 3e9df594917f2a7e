"""The cast: who works where, the unit and the booking that most tests are about."""

from collections.abc import Iterator
from typing import Any

import pytest
from django.db import connection, transaction
from django.test import Client
from hypothesis import settings as hypothesis_settings

from fleet.models import Branch, Unit
from handover.rental.models import Rental
from shared.access.models import Person
from shared.ledger import triggers
from tests.factories import (
    BranchFactory,
    PersonFactory,
    PortAverilFactory,
    RentalFactory,
    ReturnBayFactory,
    UnitFactory,
)
from tests.kept import fewest_kept_first

# No test asserts a time: a busy machine is not a fault.
hypothesis_settings.register_profile("suite", deadline=None)
hypothesis_settings.load_profile("suite")


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> Iterator[None]:
    """After everything else that orders tests."""
    yield
    items[:] = fewest_kept_first(items)


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup: None, django_db_blocker: pytest.FixtureRequest) -> None:
    """Tables straight from the models, which takes a second instead of half a minute, and the ledger's triggers.

    Migrating is tried by `make demo`, the browser tests and the restore drill.
    """
    with django_db_blocker.unblock(), connection.schema_editor() as editor:  # type: ignore[attr-defined]
        triggers.install(None, editor)


@pytest.fixture(scope="module")
def kept_for_module(django_db_setup: None, django_db_blocker: Any) -> Iterator[None]:
    """Rows that a fixture of the whole module makes are there for each of its tests, and gone after the last one.

    For what takes long to make: each test still takes back what it wrote itself. How it is used: tests/kept.py.
    """
    with django_db_blocker.unblock(), transaction.atomic():
        yield
        transaction.set_rollback(True)


@pytest.fixture
def inverlark(db: None) -> Branch:
    return BranchFactory()


@pytest.fixture
def port_averil(db: None) -> Branch:
    return PortAverilFactory()


@pytest.fixture
def isla(inverlark: Branch) -> Person:
    """Host at Inverlark."""
    return PersonFactory()


@pytest.fixture
def callum(inverlark: Branch) -> Person:
    """Return bay at Inverlark: may not do a pickup."""
    return ReturnBayFactory()


@pytest.fixture
def ruth(inverlark: Branch, port_averil: Branch) -> Person:
    """Manager of both branches: may release."""
    return PersonFactory(
        username="ruth", first_name="Ruth", last_name="Aldane", role="manager", branches=[inverlark, port_averil]
    )


@pytest.fixture
def ida(port_averil: Branch) -> Person:
    """Host of the other branch: what is Inverlark's does not exist for her."""
    return PersonFactory(username="ida", first_name="Ida", last_name="Pell", branches=[port_averil])


@pytest.fixture
def maeve(inverlark: Branch, port_averil: Branch) -> Person:
    """Fleet coordinator of both branches."""
    return PersonFactory(
        username="maeve", first_name="Maeve", last_name="Corry", role="coordinator", branches=[inverlark, port_averil]
    )


@pytest.fixture
def anders(inverlark: Branch, port_averil: Branch) -> Person:
    """Administrator of both branches."""
    return PersonFactory(
        username="anders", first_name="Anders", last_name="Lunde", role="administrator",
        branches=[inverlark, port_averil], is_staff=True,
    )  # fmt: skip


@pytest.fixture
def unit_407(inverlark: Branch) -> Unit:
    return UnitFactory()


@pytest.fixture
def booked(unit_407: Unit) -> Rental:
    """Maren Oduya's booking of unit 407."""
    return RentalFactory(leg=unit_407)


@pytest.fixture
def as_isla(client: Client, isla: Person) -> Client:
    """A browser in which Isla is signed in."""
    client.force_login(isla)
    return client
