"""Jobs are made: out of a return as it ends, or by a person who found something later."""

from dataclasses import replace
from datetime import timedelta
from uuid import uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from consumables.due import MARGIN
from fleet.models import DueDate, Unit
from handover.acting import Act, CannotBe
from handover.rental.models import Leg, Rental
from handover.turnaround.models import TurnaroundJob
from handover.turnaround.needed import Kind, Needed, needed
from handover.walkround.answers import answers_of
from handover.walkround.models import Mark, MarkFinding, WalkRound
from shared.access.roles import Right
from shared.access.scope import require
from shared.canonical import Json
from shared.clock import local
from shared.ids import uuid7
from shared.ledger.rows import written

# With no booking to look to, what falls due within two weeks is seen to while the unit stands.
STANDING = timedelta(days=14)


def make_jobs(walk: WalkRound, *, act: Act) -> list[TurnaroundJob]:
    """What this return leaves to do, in the transaction that ends it. What stands open already is not made twice."""
    open_now = TurnaroundJob.objects.filter(unit=walk.leg.unit, closed_at=None)
    open_already = set(open_now.values_list("kind", "subject", "name"))
    wanted = [*needed(walk.sheet.data, answers_of([walk])[walk.pk], marks=_marks(walk)), *_due(walk)]
    fresh = [job for job in wanted if (job.kind, job.subject, job.name) not in open_already]
    jobs = TurnaroundJob.objects.bulk_create(_row(walk.leg.unit, job, act, walk=walk) for job in fresh)
    written(jobs)
    own = replace(act, key=uuid5(act.key, "turnaround"))
    told: list[Json] = [_told(job) for job in jobs]
    own.write(chain=walk.leg.rental_id, kind="turnaround.begun", subject=walk.pk, payload={"jobs": told})
    return jobs


def _marks(walk: WalkRound) -> list[Mark]:
    worse = MarkFinding.objects.filter(walk=walk, word=MarkFinding.Word.WORSE).values_list("mark_id", flat=True)
    new = Mark.objects.filter(unit=walk.leg.unit, found_on=walk)
    return list((new | Mark.objects.filter(pk__in=list(worse))).filter(repaired_at=None).distinct())


def _due(walk: WalkRound) -> list[Needed]:
    """What falls due before the next rental is back, and its margin; else within two weeks."""
    unit, zone = walk.leg.unit, walk.leg.rental.branch.zone
    ahead = Leg.objects.filter(unit=unit, rental__state=Rental.State.BOOKED).select_related("rental")
    coming = ahead.order_by("rental__planned_out_at").first()
    ended = walk.finished_at or walk.started_at
    last = coming.rental.planned_back_at + MARGIN if coming else ended + STANDING
    rows = DueDate.objects.filter(unit=unit, due_on__lte=local(last, zone).date())
    return [Needed(Kind.DUE, row.kind) for row in rows]  # a unit has one date of each kind


def _row(unit: Unit, job: Needed, act: Act, *, walk: WalkRound | None) -> TurnaroundJob:
    return TurnaroundJob(
        id=uuid7(), unit=unit, walk=walk, kind=job.kind, subject=job.subject, name=job.name[:160],
        amount=job.amount, amount_unit=job.unit, at=act.at, by=act.by,
    )  # fmt: skip


def _told(job: TurnaroundJob) -> dict[str, Json]:
    return {
        "job": str(job.pk),
        "kind": job.kind,
        "subject": str(job.subject) if job.subject else None,
        "name": job.name,
        "amount": None if job.amount is None else str(job.amount),
        "unit": job.amount_unit,
    }


@transaction.atomic
def add_job(unit: Unit, *, what: str, act: Act) -> TurnaroundJob:
    """What somebody found later. Raises CannotBe at `what`, NotAllowed, Http404."""
    require(act.by, Right.TURNAROUND, unit.branch_id)
    if earlier := act.replayed(TurnaroundJob, chain=unit.pk, kind="job.added"):
        return earlier
    if not what.strip():
        raise CannotBe(_("Say what is to do, such as: bulb of the step light."), "what")
    job = TurnaroundJob(id=act.key, unit=unit, kind=Kind.OTHER, name=what.strip(), at=act.at, by=act.by)
    job.save(force_insert=True)
    act.write(chain=unit.pk, kind="job.added", subject=job.pk, payload=_told(job))
    return job
