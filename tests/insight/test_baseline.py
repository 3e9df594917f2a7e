"""What a missing reading costs at most, by hand and out of a whole rental."""

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest

from handover.insight.asking import Asked
from handover.insight.baseline.gaps import gaps
from handover.insight.baseline.pricing import at_most
from handover.insight.baseline.tables import baseline_by_host, baseline_missing
from handover.insight.table import Money
from handover.rental.models import Rental
from handover.statement.actions import draw_up
from handover.statement.inputs import pricing_document
from shared.access.models import Person
from tests.factories import (
    BACK_AT,
    RULES,
    PersonFactory,
    RateCardFactory,
    RentalFactory,
    ReturnBayFactory,
    UnitFactory,
    an_act,
)
from tests.kept import anew
from tests.playing import come_back, go

D = Decimal


@pytest.fixture(scope="module")
def kept_unread(kept_for_module: None, clock: None) -> Rental:
    """Nobody read the diesel nor weighed the cylinder at pickup; it came back with 60 L and 9.1 kg."""
    RateCardFactory(rules=RULES)
    rental, callum = RentalFactory(leg=UnitFactory(odometer_km=41_000)), ReturnBayFactory()
    go(rental, PersonFactory(), odometer="41206")
    come_back(rental, callum, at=BACK_AT, diesel="60", odometer="42018", gas_front="9.1")
    draw_up(rental, act=an_act(callum, at=BACK_AT + timedelta(hours=1)))
    return rental


@pytest.fixture
def unread(kept_unread: Rental, db: None) -> Rental:
    return anew(kept_unread)


def test_as_if_it_had_left_full(unread: Rental) -> None:
    """90 − 60 L less the doubt of both readings, 3.0 L, at 1.62: 43.74. 11.9 − 9.1 kg less 0.2 kg at 4.60: 11.96."""
    document = pricing_document(unread)
    assert at_most(document, "FUEL", "407") == D("43.74")
    assert at_most(document, "GAS", "Front") == D("11.96")


def test_what_the_pricing_cannot_know(unread: Rental) -> None:
    document: dict[str, Any] = pricing_document(unread)
    assert at_most(document, "DISTANCE", "407") is None
    assert at_most(document, "FUEL", "another unit") is None


def test_each_gap_with_its_host(unread: Rental, august: Asked) -> None:
    found = {(gap.what, gap.host, gap.amount) for gap in gaps(august)}
    assert ("Diesel", "Isla Macrae", D("43.74")) in found
    assert ("Gas, front cylinder", "Isla Macrae", D("11.96")) in found


def test_a_thing_that_nobody_counted_at_pickup(unread: Rental, callum: Person, august: Asked) -> None:
    """One of two straps is there at the return; 9.00 by its age, as the statement would price it."""
    walk = unread.legs.get().walk_rounds.get(kind="return")
    straps = walk.leg.unit.layout.stations.get(number=2).equipments.get()
    walk.counts.create(item=straps, present=1, at=BACK_AT, by=callum)
    (gap,) = [gap for gap in gaps(august) if gap.what == "Straps"]
    assert gap.amount is not None
    assert 0 < gap.amount <= D("9.00")


def test_together_and_one_by_one(unread: Rental, august: Asked) -> None:
    row = baseline_by_host(august).rows[0]
    assert row.cells[:2] == ("Inverlark", "Isla Macrae")
    assert row.cells[3] == Money(D("55.70"), "GBP")
    rows = baseline_missing(august).rows
    assert {one.rental for one in rows} == {unread.pk}
    assert len(rows) == row.cells[2]
