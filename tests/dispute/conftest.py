"""A rental settled at 621.67: a new scratch of 120 mm on the left door for 400.00 and 100.00 of other lines.

The door is a view that the layout asks for; there is a photo of it from pickup and one from return.
"""

import json
from collections.abc import Callable, Iterator
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client

from fleet.models import PhotoView
from handover.acting import AnyonesAct
from handover.dispute.actions import open_dispute
from handover.dispute.line import StatementLine
from handover.dispute.models import Dispute
from handover.photo.actions import add_photo
from handover.rental.models import Rental
from handover.statement.actions import draw_up
from handover.statement.models import Statement
from handover.walkround import actions as walk_actions
from handover.walkround.actions.marking import MarkSeen
from handover.walkround.models import WalkRound
from shared.access.models import Person
from shared.ids import uuid7
from tests.counter.conftest import MORE_RULES, close
from tests.factories import (
    BACK_AT,
    NINE,
    ExtraOfferFactory,
    PersonFactory,
    RateCardFactory,
    RentalFactory,
    ReturnBayFactory,
    UnitFactory,
    an_act,
)
from tests.kept import anew, clock_at
from tests.photos.pictures import noise, saved
from tests.playing import as_committed, item, leave, read, start

BACK = BACK_AT + timedelta(minutes=107)
LATER = BACK_AT + timedelta(hours=3)
DAYS_LATER = BACK_AT + timedelta(days=5)
DOOR = MarkSeen("scratch", "door", "left door", 120, -1025, 2600)
DOOR_REF = "Mark 1, left door"


@pytest.fixture(autouse=True, scope="module")
def clock() -> Iterator[None]:
    """Days after the return, when disputes come."""
    yield from clock_at(DAYS_LATER)


@pytest.fixture(scope="session")
def shots() -> tuple[bytes, bytes]:
    """Two pictures that are not the same bytes."""
    return saved(noise(640, 480), "JPEG"), saved(noise(800, 600), "JPEG")


def a_door() -> PhotoView:
    """Station 1 of the layout asks for the left door, from 1.2 m away."""
    RateCardFactory(rules=MORE_RULES)
    unit = UnitFactory(odometer_km=41_000)
    station = unit.layout.stations.get(number=1)
    return PhotoView.objects.create(
        station=station,
        code="left_door",
        name="Left door",
        eye_x_mm=-2225,
        eye_y_mm=2600,
        aim_x_mm=-1025,
        aim_y_mm=2600,
    )


def go(door: PhotoView, shot: bytes) -> Rental:
    rental, host = RentalFactory(leg=UnitFactory(), extras=[ExtraOfferFactory()]), PersonFactory()
    walk = start(rental, "pickup", host)
    read(walk, host, NINE, diesel="82", odometer="41206", gas_front="11.7")
    photograph(walk, door, shot, host)
    leave(walk, host)
    rental.refresh_from_db()
    return rental


def photograph(walk: WalkRound, view: PhotoView, shot: bytes, by: Person) -> None:
    at = BACK if walk.is_return else NINE
    add_photo(walk, station=1, data=shot, view=view.name, subject=view.pk, act=an_act(by, at=at))


def come_back(rental: Rental, by: Person, *, door: PhotoView, shot: bytes | None, mode: str = "attended") -> WalkRound:
    walk = start(rental, "return", by, at=BACK, arrived_at=BACK, mode=mode)
    read(walk, by, BACK, diesel="47.5", odometer="42018", gas_front="9.1")
    walk_actions.check_seal(
        walk, item=item(walk, "first_aid").id, state="broken", seal_number="93412", act=an_act(by, at=BACK)
    )
    walk_actions.pin_mark(walk, station=1, seen=DOOR, act=an_act(by, at=BACK))
    if shot:
        photograph(walk, door, shot, by)
    walk_actions.finish(walk, act=an_act(by, at=BACK))
    rental.refresh_from_db()
    return walk


def settle(rental: Rental) -> Statement:
    by = ReturnBayFactory()
    statement = draw_up(rental, act=an_act(by, at=LATER))
    close(statement, by)
    return statement


@pytest.fixture(scope="module")
def kept_out(kept_for_module: None, clock: None, shots: tuple[bytes, bytes]) -> Rental:
    return go(a_door(), shots[0])


@pytest.fixture(scope="module")
def kept_back(kept_out: Rental, shots: tuple[bytes, bytes]) -> Rental:
    come_back(kept_out, ReturnBayFactory(), door=PhotoView.objects.get(), shot=shots[1])
    return kept_out


@pytest.fixture(scope="module")
def kept_settled(kept_back: Rental) -> Statement:
    return settle(kept_back)


@pytest.fixture(scope="module")
def kept_dispute(kept_settled: Statement) -> Dispute:
    return contest(the_door(kept_settled))


@pytest.fixture
def door(kept_out: Rental, db: None) -> PhotoView:
    return PhotoView.objects.get()


@pytest.fixture
def out(kept_out: Rental, db: None) -> Rental:
    return anew(kept_out)


@pytest.fixture
def back(kept_back: Rental, out: Rental) -> Rental:
    return out


@pytest.fixture
def settled(kept_settled: Statement, back: Rental) -> Statement:
    return back.statements.get()


@pytest.fixture
def dispute(kept_dispute: Dispute, settled: Statement) -> Dispute:
    return settled.disputes.get()


def the_door(statement: Statement) -> StatementLine:
    return StatementLine(statement, "DAMAGE", DOOR_REF, DOOR_REF)


def iter_lines(statement: Statement, code: str) -> Iterator[StatementLine]:
    lines = json.loads(statement.result)["lines"]
    return (StatementLine(statement, row["code"], row["ref"], row["ref"]) for row in lines if row["code"] == code)


def contest(line: StatementLine, **said: Any) -> Dispute:
    """By the customer, from their link."""
    told = {"words": "It was there when we took the van.", "by_customer": True, **said}
    return open_dispute(line, act=AnyonesAct(by=None, at=DAYS_LATER, key=uuid7()), **told)


@pytest.fixture
def committed() -> Callable[[], Any]:
    return as_committed


@pytest.fixture
def as_ruth(client: Client, ruth: Person) -> Client:
    client.force_login(ruth)
    return client
