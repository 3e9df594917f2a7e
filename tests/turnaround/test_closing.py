"""Jobs are done with what they leave behind, or said to be not needed."""

from datetime import date
from decimal import Decimal

import pytest

from consumables.models import Fill
from fleet.models import UnitInstrument, UnitKit
from handover.acting import CannotBe
from handover.turnaround.closing import DoneWith, assign, done, not_needed
from handover.turnaround.making import add_job
from handover.turnaround.models import TurnaroundJob
from handover.walkround.models import Mark, WalkRound
from shared.access.models import Person
from shared.access.scope import NotAllowed
from tests.factories import BACK_AT, an_act
from tests.turnaround.conftest import job_of

D = Decimal
FILLED = DoneWith(before=D(41), litres=D("48.20"), reading=D(90), cost=D("77.10"))


def refused(job: TurnaroundJob, by: DoneWith, person: Person) -> CannotBe:
    with pytest.raises(CannotBe) as raised:
        done(job, by=by, act=an_act(person))
    job.refresh_from_db()
    assert job.is_open
    return raised.value


def test_a_fill_feeds_the_tank_curve(refuel: TurnaroundJob, callum: Person) -> None:
    done(refuel, by=FILLED, act=an_act(callum))
    fill = Fill.objects.get()
    assert (fill.litres, fill.after) == (D("48.20"), D(1))
    assert refuel.fill == fill


def test_without_a_receipt_nothing_is_learned(refuel: TurnaroundJob, callum: Person) -> None:
    done(refuel, by=DoneWith(reading=D(90)), act=an_act(callum))
    assert not Fill.objects.exists()
    assert refuel.reading == D(90)


def test_a_receipt_without_the_gauge_before_is_asked_for(refuel: TurnaroundJob, callum: Person) -> None:
    assert refused(refuel, DoneWith(litres=D(48), reading=D(90)), callum).field == "before"


def test_a_level_is_read_again(refuel: TurnaroundJob, callum: Person) -> None:
    assert refused(refuel, DoneWith(), callum).field == "reading"


def test_more_than_full_cannot_be(refuel: TurnaroundJob, callum: Person) -> None:
    assert "full at 90 L" in refused(refuel, DoneWith(reading=D(95)), callum).sentence


def test_pressed_twice_is_done_once(refuel: TurnaroundJob, callum: Person) -> None:
    act = an_act(callum)
    done(refuel, by=FILLED, act=act)
    assert done(refuel, by=FILLED, act=act) == refuel
    assert Fill.objects.count() == 1


def test_a_closed_job_says_who_closed_it(refuel: TurnaroundJob, callum: Person, isla: Person) -> None:
    done(refuel, by=FILLED, act=an_act(callum))
    with pytest.raises(CannotBe, match=r"closed already: done, Callum"):
        done(refuel, by=FILLED, act=an_act(isla))


def test_a_new_seal_is_what_the_next_pickup_expects(back: WalkRound, callum: Person) -> None:
    kit = job_of(back.leg.unit, "kit")
    own = UnitKit.objects.filter(unit=back.leg.unit, kit_id=kit.subject)
    assert own.exists()
    assert refused(kit, DoneWith(), callum).field == "number"
    done(kit, by=DoneWith(number="77001", until=date(2028, 3, 1)), act=an_act(callum))
    assert own.values_list("seal_number", "expires_on").get() == ("77001", date(2028, 3, 1))


def test_a_repaired_mark_is_off_the_plan(back: WalkRound, callum: Person) -> None:
    done(job_of(back.leg.unit, "repair"), by=DoneWith(note="touched up"), act=an_act(callum))
    assert Mark.objects.get().repaired_at


def test_another_cylinder_brings_its_tare(back: WalkRound, callum: Person) -> None:
    gas = TurnaroundJob.objects.filter(unit=back.leg.unit, kind="gas").first()
    assert gas
    assert refused(gas, DoneWith(serial="C-9", reading=D(17)), callum).field == "tare_kg"
    done(gas, by=DoneWith(serial="C-9", tare_kg=D("6.40"), reading=D("12.40")), act=an_act(callum))
    assert UnitInstrument.objects.get(instrument_id=gas.subject, unit=back.leg.unit).serial == "C-9"


def test_handed_to_somebody_of_the_crew(refuel: TurnaroundJob, maeve: Person, callum: Person) -> None:
    assert assign(refuel, to=callum, act=an_act(maeve)).assigned_to == callum


def test_not_handed_to_another_branch(refuel: TurnaroundJob, maeve: Person, ida: Person) -> None:
    with pytest.raises(CannotBe, match="no turnaround at this branch"):
        assign(refuel, to=ida, act=an_act(maeve))


def test_not_needed_takes_a_reason_and_the_right(refuel: TurnaroundJob, maeve: Person, callum: Person) -> None:
    with pytest.raises(NotAllowed):
        not_needed(refuel, reason="Goes as it is.", act=an_act(callum))
    with pytest.raises(CannotBe, match="Say why"):
        not_needed(refuel, reason=" ", act=an_act(maeve))
    assert not_needed(refuel, reason="Goes to auction.", act=an_act(maeve)).outcome == "not_needed"


def test_found_later(back: WalkRound, isla: Person) -> None:
    job = add_job(back.leg.unit, what="Bulb of the step light", act=an_act(isla, at=BACK_AT))
    assert (job.kind, job.walk) == ("other", None)
