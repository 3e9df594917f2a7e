"""The diesel of unit 407: 90 L, a gauge of eighths in the tests' layout, and fills along a curve that is known."""

from collections.abc import Callable

import pytest
from django.test import Client

from consumables.models import Fill
from fleet.models import Instrument, Unit
from handover.tank.actions import PumpReceipt, record_fill
from shared.access.models import Person
from tests.consumables.made import many
from tests.factories import an_act

Filling = Callable[[int], list[Fill]]


@pytest.fixture
def diesel(unit_407: Unit) -> Instrument:
    """Made with a layout that the walk-round tests use as well."""
    return Instrument.objects.get(station__layout=unit_407.layout, code="diesel")


@pytest.fixture
def filling(unit_407: Unit, diesel: Instrument, isla: Person) -> Filling:
    """Keeps so many fills to the click, from all over the gauge."""

    def kept(count: int) -> list[Fill]:
        receipts = [PumpReceipt(each.before, each.after, each.litres, to_click=True) for each in many(count)]
        return [record_fill(unit=unit_407, instrument=diesel, receipt=each, act=an_act(isla)) for each in receipts]

    return kept


@pytest.fixture
def as_maeve(client: Client, maeve: Person) -> Client:
    client.force_login(maeve)
    return client
