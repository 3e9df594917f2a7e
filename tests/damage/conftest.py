"""Unit 407 back with two new scratches, on its left door and at its left rear, and no known marks."""

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal

import pytest

from handover.damage.actions import price_repair
from handover.rental.models import Rental
from handover.walkround import actions as walk_actions
from handover.walkround.actions.marking import MarkSeen
from handover.walkround.models import Mark, WalkRound
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
from tests.kept import anew, clock_at
from tests.playing import go, start

LATER = BACK_AT + timedelta(hours=3)
DOOR = MarkSeen("scratch", "door", "left door", 120, -1025, 2600)
REAR = MarkSeen("scratch", "bumper", "left rear", 200, -300, 5900)


@pytest.fixture(autouse=True, scope="module")
def afternoon() -> Iterator[None]:
    yield from clock_at(LATER)


@pytest.fixture(scope="module")
def kept_out(kept_for_module: None, afternoon: None) -> Rental:
    """An excess of 1000.00 for each event, 40.00 for handling each."""
    RateCardFactory(rules=RULES | {"damage": {}, "admin": {"per_damage_event": "40.00"}})
    rental = RentalFactory(leg=UnitFactory(odometer_km=41_000))
    go(rental, PersonFactory(), diesel="82", odometer="41206", gas_front="11.7")
    return rental


def bring_back(rental: Rental, by: Person, *seen: MarkSeen) -> WalkRound:
    walk = start(rental, "return", by, at=BACK_AT, arrived_at=BACK_AT)
    for mark in seen:
        walk_actions.pin_mark(walk, station=1, seen=mark, act=an_act(by, at=BACK_AT))
    walk_actions.finish(walk, act=an_act(by, at=BACK_AT))
    rental.refresh_from_db()
    return walk


@pytest.fixture(scope="module")
def kept_back(kept_out: Rental) -> Rental:
    bring_back(kept_out, ReturnBayFactory(), DOOR, REAR)
    return kept_out


@pytest.fixture
def out(kept_out: Rental, db: None) -> Rental:
    return anew(kept_out)


@pytest.fixture
def back(kept_back: Rental, out: Rental) -> Rental:
    return out


@pytest.fixture
def quoted(back: Rental, callum: Person) -> Rental:
    """1200.00 for the door, 1100.00 for the bumper, by estimate."""
    for mark, amount in zip(marks(back), ("1200.00", "1100.00"), strict=True):
        price_repair(
            back, mark=mark.pk, basis="estimate", amount=Decimal(amount), reference="Workshop 118",
            act=an_act(callum, at=LATER),
        )  # fmt: skip
    return back


def marks(rental: Rental) -> list[Mark]:
    return list(Mark.objects.filter(found_on__leg__rental=rental))
