"""A unit goes out when all is done, or when a manager lets it go without."""

from datetime import datetime, timedelta
from decimal import Decimal

import pytest

from handover.acting import CannotBe
from handover.rental.models import Rental
from handover.turnaround.closing import DoneWith, done, not_needed
from handover.turnaround.models import TurnaroundJob
from handover.turnaround.ready import let_go
from handover.walkround import actions
from handover.walkround.document import found_on, walk_document
from handover.walkround.models import WalkRound
from handover.walkround.queries import seen_of
from shared.access.models import Person
from shared.access.scope import NotAllowed
from tests.factories import BACK_AT, RentalFactory, an_act
from tests.playing import item

NEXT = BACK_AT + timedelta(days=1)


def start(rental: Rental, kind: str, by: Person, *, at: datetime) -> WalkRound:
    """With whatever is open on the unit."""
    return actions.start_walk(rental.legs.get(), kind=WalkRound.Kind(kind), act=an_act(by, at=at))


@pytest.fixture
def following(back: WalkRound) -> Rental:
    return RentalFactory(leg=back.leg.unit, planned_out_at=NEXT, planned_back_at=NEXT + timedelta(days=3))


def clear(maeve: Person) -> None:
    for job in TurnaroundJob.objects.filter(closed_at=None):
        not_needed(job, reason="Seen to in the yard.", act=an_act(maeve, at=NEXT))


def test_it_stays_while_jobs_are_open(following: Rental, isla: Person) -> None:
    with pytest.raises(CannotBe, match=r"Unit 407 is not ready: \d+ jobs are open"):
        start(following, "pickup", isla, at=NEXT)


def test_it_goes_when_all_is_closed(following: Rental, isla: Person, maeve: Person) -> None:
    clear(maeve)
    assert start(following, "pickup", isla, at=NEXT)


def test_a_manager_lets_it_go_and_the_record_says_so(following: Rental, isla: Person, ruth: Person) -> None:
    let_go(following.legs.get().unit, rental=following, reason="Cleaned by the customer.", act=an_act(ruth, at=NEXT))
    walk = start(following, "pickup", isla, at=NEXT)
    said = walk_document(found_on(walk))["let_go"]
    assert said["reason"] == "Cleaned by the customer."
    assert "Clean: Inside" in said["jobs"]


def test_a_host_cannot_let_it_go(following: Rental, isla: Person) -> None:
    with pytest.raises(NotAllowed):
        let_go(following.legs.get().unit, rental=following, reason="In a hurry.", act=an_act(isla))


def test_what_is_found_after_the_release_keeps_it_here(following: Rental, isla: Person, ruth: Person) -> None:
    unit = following.legs.get().unit
    let_go(unit, rental=following, reason="Clean enough.", act=an_act(ruth, at=NEXT))
    TurnaroundJob.objects.create(unit=unit, kind="other", name="Step", at=NEXT, by=isla)
    with pytest.raises(CannotBe, match="1 job is open"):
        start(following, "pickup", isla, at=NEXT)


def test_the_next_pickup_starts_from_what_the_fill_left(
    refuel: TurnaroundJob, following: Rental, isla: Person, maeve: Person
) -> None:
    done(refuel, by=DoneWith(reading=Decimal(90)), act=an_act(isla, at=NEXT - timedelta(hours=1)))
    clear(maeve)
    walk = start(following, "pickup", isla, at=NEXT)
    offered = seen_of(walk).before.readings[item(walk, "diesel").id]
    assert (offered.value, offered.by) == (Decimal(90), isla)
