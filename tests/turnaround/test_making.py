"""What a return leaves to do."""

from datetime import date
from decimal import Decimal

from fleet.models import DueDate, Unit
from handover.rental.models import Rental
from handover.turnaround.models import TurnaroundJob
from handover.turnaround.words import title
from handover.walkround.models import WalkRound
from shared.access.models import Person
from shared.ledger.models import Entry
from shared.ledger.verifying import verify_all
from tests.factories import BACK_AT
from tests.playing import come_back, go
from tests.turnaround.conftest import job_of


def test_half_a_tank_is_filled_by_about_what_is_missing(refuel: TurnaroundJob) -> None:
    assert (refuel.amount, refuel.amount_unit) == (Decimal(49), "L")
    assert title(refuel).endswith("about 49 L")


def test_a_broken_seal_names_what_was_used(back: WalkRound) -> None:
    kit = job_of(back.leg.unit, "kit")
    assert ":" in kit.name


def test_a_new_mark_is_repaired(back: WalkRound) -> None:
    mark = back.leg.unit.marks.get()
    job = job_of(back.leg.unit, "repair")
    assert (job.subject, job.name) == (mark.pk, f"Mark {mark.number}, kerb side door")


def test_inside_and_outside_are_always_cleaned(back: WalkRound) -> None:
    rows = TurnaroundJob.objects.filter(kind="clean").order_by("name")
    assert [row.name for row in rows] == ["Inside", "Outside"]


def test_what_nobody_read_is_looked_at(back: WalkRound) -> None:
    gas = TurnaroundJob.objects.filter(unit=back.leg.unit, kind="gas")
    assert {job.amount for job in gas} == {None}


def test_a_full_tank_needs_no_fill(booked: Rental, isla: Person) -> None:
    go(booked, isla, diesel="90")
    come_back(booked, isla, diesel="90")
    assert not TurnaroundJob.objects.filter(kind="refuel").exists()


def test_what_falls_due_before_the_next_rental(booked: Rental, isla: Person, unit_407: Unit) -> None:
    go(booked, isla, diesel="82")
    soon = DueDate.objects.create(unit=unit_407, kind="gas", due_on=BACK_AT.date())
    DueDate.objects.create(unit=unit_407, kind="alarms", due_on=date(2031, 1, 1))
    come_back(booked, isla, diesel="82")
    assert job_of(unit_407, "due").name == soon.kind


def test_one_entry_tells_all_and_the_ledger_holds(back: WalkRound) -> None:
    entry = Entry.objects.get(kind="turnaround.begun")
    assert entry.payload.count('"job":') == TurnaroundJob.objects.count()
    assert list(verify_all()) == []
