"""The yard does what the played return left: every job of its unit, so that the next pickup can begin."""

from datetime import date, timedelta
from decimal import Decimal

from fleet.models import DueDate, UnitInstrument
from handover.demo.playing import Clock
from handover.turnaround.closing import DoneWith, done, instrument_of
from handover.turnaround.models import TurnaroundJob
from handover.turnaround.needed import EMPTIED, Kind
from handover.walkround.models import WalkRound
from shared.access.models import Person

NEW_SEAL = "93586"
AFTER = timedelta(minutes=5)


def do_jobs(walk: WalkRound, *, crew: Person) -> None:
    """All that are open out of this return; called again it finds nothing to do."""
    clock = Clock((walk.finished_at or walk.started_at) + AFTER, crew, step=timedelta(minutes=2))
    for job in TurnaroundJob.objects.filter(walk=walk, closed_at=None).select_related("unit__branch"):
        done(job, by=_done_with(job), act=clock.act())


def _done_with(job: TurnaroundJob) -> DoneWith:
    if job.kind == Kind.KIT:
        return DoneWith(number=NEW_SEAL, note="Contents made up, new seal.")
    if job.kind == Kind.DUE:
        return DoneWith(until=_a_year_on(job))
    return DoneWith(reading=_full(job), note="")


def _a_year_on(job: TurnaroundJob) -> date:
    due = DueDate.objects.get(unit=job.unit, kind=job.name).due_on
    return due + timedelta(days=365)


def _full(job: TurnaroundJob) -> Decimal | None:
    """Filled up, emptied or charged, as its instrument then shows."""
    instrument = instrument_of(job)
    if instrument is None or job.kind in EMPTIED.values():
        return None if instrument is None else Decimal(0)
    own = UnitInstrument.objects.filter(unit=job.unit, instrument=instrument).first()
    if instrument.measures == "gas":
        return _pick(own, instrument, "tare_kg") + _pick(own, instrument, "net_kg")
    return Decimal("12.8") if instrument.unit == "V" else _pick(own, instrument, "capacity") or Decimal(100)


def _pick(own: UnitInstrument | None, instrument: object, name: str) -> Decimal:
    override = getattr(own, name, None)
    return Decimal(getattr(instrument, name) or 0) if override is None else Decimal(override)
