"""Unit 407 back with half a tank, a broken seal and a new scratch: what its return leaves to do."""

import pytest
from django.test import Client

from fleet.models import Unit
from handover.turnaround.models import TurnaroundJob
from handover.walkround import actions
from handover.walkround.actions.marking import MarkSeen
from handover.walkround.models import WalkRound
from shared.access.models import Person
from tests.factories import BACK_AT, PersonFactory, RentalFactory, UnitFactory, an_act
from tests.kept import anew
from tests.playing import go, item, read, start

SCRATCH = MarkSeen(kind="scratch", part="door", place="kerb side door", size_mm=40, x_mm=-1025, y_mm=2600)


@pytest.fixture(scope="module")
def kept_back(kept_for_module: None) -> WalkRound:
    rental, isla = RentalFactory(leg=UnitFactory()), PersonFactory()
    go(rental, isla, diesel="82")
    walk = start(rental, "return", isla, at=BACK_AT, arrived_at=BACK_AT)
    read(walk, isla, BACK_AT, diesel="41")
    kit = item(walk, "first_aid")
    actions.check_seal(walk, item=kit.id, state="broken", used=[kit.contents[0]], act=an_act(isla, at=BACK_AT))
    actions.pin_mark(walk, station=2, seen=SCRATCH, act=an_act(isla, at=BACK_AT))
    actions.finish(walk, act=an_act(isla, at=BACK_AT))
    return walk


@pytest.fixture
def back(kept_back: WalkRound, db: None) -> WalkRound:
    return anew(kept_back)


def job_of(unit: Unit, kind: str) -> TurnaroundJob:
    return TurnaroundJob.objects.get(unit=unit, kind=kind)


@pytest.fixture
def refuel(back: WalkRound) -> TurnaroundJob:
    return job_of(back.leg.unit, "refuel")


@pytest.fixture
def as_maeve(client: Client, maeve: Person) -> Client:
    client.force_login(maeve)
    return client
