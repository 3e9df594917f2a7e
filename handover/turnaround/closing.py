"""Jobs are handed to somebody, done with what was read and paid, or said to be not needed."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from uuid import uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from consumables.models import Fill
from consumables.readable import Scale, figure, impossible
from fleet.models import DueDate, Instrument, UnitInstrument, UnitKit
from handover.acting import Act, CannotBe
from handover.photo.taking_in import TakenIn
from handover.tank.actions import PumpReceipt, record_fill
from handover.turnaround.models import TurnaroundJob
from handover.turnaround.needed import Kind
from handover.walkround.models import Mark
from shared.access.models import Person
from shared.access.roles import Right
from shared.access.scope import require
from shared.canonical import Json
from shared.ledger.personal import worded
from shared.ledger.rows import written

PART = Decimal("0.00001")


@dataclass(frozen=True, slots=True)
class DoneWith:
    """What a finished job leaves behind. Which of these a kind takes is said in TAKES; all but it are refused.

    reading: after, in the unit of the instrument; litres, cost: from the pump's receipt, before: the gauge then.
    serial, tare_kg: of the cylinder that was put in. number: of the new seal. until: when it is due again.
    """

    note: str = ""
    reading: Decimal | None = None
    before: Decimal | None = None
    litres: Decimal | None = None
    cost: Decimal | None = None
    serial: str = ""
    tare_kg: Decimal | None = None
    number: str = ""
    until: date | None = None
    photo: TakenIn | None = None


LEVELS = frozenset(
    {Kind.REFUEL, Kind.EXHAUST_FLUID, Kind.GAS, Kind.FRESH_WATER, Kind.WASTE_WATER, Kind.CASSETTE, Kind.BATTERY}
)
PUMPED = frozenset({Kind.REFUEL, Kind.EXHAUST_FLUID})


@transaction.atomic
def assign(job: TurnaroundJob, *, to: Person | None, act: Act) -> TurnaroundJob:
    """Hand a job to somebody, or to nobody again. Raises CannotBe at `to`."""
    if earlier := _begin(job, "job.assigned", Right.TURNAROUND, act):
        return earlier
    if to and not (to.may(Right.TURNAROUND) and job.unit.branch_id in to.branch_ids):
        raise CannotBe(_("%(name)s does no turnaround at this branch.") % {"name": to.short_name}, "to")
    job.assigned_to = to
    job.save(update_fields=["assigned_to"])
    act.write(chain=job.unit_id, kind="job.assigned", subject=job.pk, payload={"to": str(to.pk) if to else None})
    return job


@transaction.atomic
def done(job: TurnaroundJob, *, by: DoneWith, act: Act) -> TurnaroundJob:
    """Raises CannotBe at the field that cannot be; the job stays open then and nothing is kept of it."""
    if earlier := _begin(job, "job.done", Right.TURNAROUND, act):
        return earlier
    instrument = instrument_of(job)
    if instrument:
        _put_in(job, instrument, by)
        _check_level(job, instrument, by)
        job.reading = by.reading
        job.fill = _filled(job, instrument, by, act)
    if leave := LEAVES.get(Kind(job.kind)):
        leave(job, by, act)
    job.photo = by.photo.display if by.photo else ""
    return _close(job, TurnaroundJob.Outcome.DONE, "job.done", by.note, _told(by), act)


@transaction.atomic
def not_needed(job: TurnaroundJob, *, reason: str, act: Act) -> TurnaroundJob:
    """The unit may go without it. Raises CannotBe at `reason`."""
    if earlier := _begin(job, "job.not_needed", Right.READY, act):
        return earlier
    if not reason.strip():
        raise CannotBe(_("Say why it is not needed: the next host reads it."), "reason")
    return _close(job, TurnaroundJob.Outcome.NOT_NEEDED, "job.not_needed", reason, {}, act)


def instrument_of(job: TurnaroundJob) -> Instrument | None:
    """What is read when the job is done; None where nothing is."""
    is_read = job.kind in LEVELS and job.subject is not None
    return Instrument.objects.filter(pk=str(job.subject)).first() if is_read else None


def _begin(job: TurnaroundJob, kind: str, right: Right, act: Act) -> TurnaroundJob | None:
    require(act.by, right, job.unit.branch_id)
    if earlier := act.replayed(TurnaroundJob, chain=job.unit_id, kind=kind):
        return earlier
    job.refresh_from_db(fields=["outcome", "closed_at", "closed_by", "assigned_to"])
    if job.closed_at and job.closed_by:
        raise CannotBe(
            _("This job is closed already: %(outcome)s, %(name)s.")
            % {"outcome": job.get_outcome_display(), "name": job.closed_by.short_name}
        )
    return None


def _close(
    job: TurnaroundJob, outcome: TurnaroundJob.Outcome, kind: str, note: str, told: dict[str, Json], act: Act
) -> TurnaroundJob:  # fmt: skip
    job.outcome, job.note = outcome, note.strip()
    job.closed_at, job.closed_by = act.at, act.by
    job.save()
    payload = {"kind": job.kind, "name": job.name, "note": worded(job.note)} | told
    act.write(chain=job.unit_id, kind=kind, subject=job.pk, payload=payload)
    return job


def _told(by: DoneWith) -> dict[str, Json]:
    return {
        "reading": None if by.reading is None else figure(by.reading),
        "litres": None if by.litres is None else figure(by.litres),
        "serial": by.serial,
        "seal_number": by.number,
        "until": by.until.isoformat() if by.until else None,
        "photo_sha256": by.photo.kept_sha256 if by.photo else None,
    }


def _put_in(job: TurnaroundJob, instrument: Instrument, by: DoneWith) -> None:
    """Another cylinder stands in the locker: the next pickup weighs it with its own tare."""
    if job.kind != Kind.GAS or not by.serial.strip():
        return
    if by.tare_kg is None:
        raise CannotBe(_("Another cylinder has another tare: write what is stamped on it."), "tare_kg")
    UnitInstrument.objects.update_or_create(
        unit=job.unit, instrument=instrument, defaults={"serial": by.serial.strip(), "tare_kg": by.tare_kg}
    )


def _check_level(job: TurnaroundJob, instrument: Instrument, by: DoneWith) -> None:
    if by.reading is None:
        raise CannotBe(_("Read it again afterwards: the next pickup starts from it."), "reading")
    if sentence := impossible(_scale(job, instrument), by.reading):
        raise CannotBe(sentence, "reading")


def _scale(job: TurnaroundJob, instrument: Instrument) -> Scale:
    own = UnitInstrument.objects.filter(unit=job.unit, instrument=instrument).first()

    def pick(name: str) -> Decimal | None:
        override: Decimal | None = getattr(own, name, None)
        kept: Decimal | None = getattr(instrument, name)
        return kept if override is None else override

    return Scale(
        name=instrument.name, measures=instrument.measures, unit=instrument.unit, capacity=pick("capacity"),
        tare_kg=pick("tare_kg"), net_kg=pick("net_kg"),
    )  # fmt: skip


def _filled(job: TurnaroundJob, instrument: Instrument, by: DoneWith, act: Act) -> Fill | None:
    """The pump's receipt, by which the tank's curve is learned; without one nothing is learned."""
    capacity = _scale(job, instrument).capacity
    if job.kind not in PUMPED or by.litres is None or by.reading is None or not capacity:
        return None
    if by.before is None:
        raise CannotBe(_("Say where the gauge stood before the fill."), "before")
    before, after = ((each / capacity).quantize(PART) for each in (by.before, by.reading))
    receipt = PumpReceipt(before, after, by.litres, cost=by.cost)
    own = replace(act, key=uuid5(act.key, "fill"))
    return record_fill(unit=job.unit, instrument=instrument, receipt=receipt, act=own, photo=by.photo)


def _seal(job: TurnaroundJob, by: DoneWith, act: Act) -> None:
    """The seal that the next pickup expects. A kit without a number, such as an extinguisher, needs none."""
    kit = UnitKit.objects.filter(unit=job.unit, kit_id=str(job.subject)).select_related("kit").first()
    if kit is None or not kit.kit.sealed:
        return
    if not by.number.strip():
        raise CannotBe(_("Write the number of the new seal: the next pickup asks for it."), "number")
    kit.seal_number = by.number.strip()
    kit.expires_on = by.until or kit.expires_on
    kit.save(update_fields=["seal_number", "expires_on"])


def _repair(job: TurnaroundJob, by: DoneWith, act: Act) -> None:
    """The mark is gone from the plan; what was charged for it stays."""
    marks = list(Mark.objects.filter(pk=str(job.subject), repaired_at=None))
    Mark.objects.filter(pk__in=[mark.pk for mark in marks]).update(repaired_at=act.at)
    written(marks)


def _due(job: TurnaroundJob, by: DoneWith, act: Act) -> None:
    if by.until is None or by.until <= act.at.date():
        raise CannotBe(_("Write the new date of the tag or the certificate: a day to come."), "until")
    DueDate.objects.filter(unit=job.unit, kind=job.name).update(due_on=by.until)


LEAVES: dict[Kind, Callable[[TurnaroundJob, DoneWith, Act], None]] = {
    Kind.KIT: _seal,
    Kind.REPAIR: _repair,
    Kind.DUE: _due,
}
