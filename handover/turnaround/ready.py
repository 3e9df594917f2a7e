"""Is a unit ready to go out: all that its returns left is done and nothing falls due, or it is let go without."""

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from fleet.models import Unit
from handover.acting import Act, CannotBe
from handover.rental.due import due_on_the_trip
from handover.rental.models import Rental
from handover.turnaround.models import NotReady, TurnaroundJob
from handover.turnaround.words import title
from shared.access.roles import Right
from shared.access.scope import require
from shared.ledger.personal import worded


def open_jobs(unit: Unit) -> list[TurnaroundJob]:
    return list(TurnaroundJob.objects.filter(unit=unit, closed_at=None))


def check_ready(unit: Unit, rental: Rental) -> None:
    """Raises CannotBe for a unit with jobs open that nobody let go without for this rental."""
    if sentence := why_not_ready(unit, rental):
        raise CannotBe(sentence)


def why_not_ready(unit: Unit, rental: Rental) -> str:
    """A sentence, empty when nothing is open or when what is open was let go without; in two queries at most."""
    waiting = open_jobs(unit)
    let_go = set(NotReady.objects.filter(unit=unit, rental=rental).values_list("jobs", flat=True)) if waiting else set()
    left = [job for job in waiting if job.pk not in let_go]
    return _not_ready(unit, left) if left else ""


def _not_ready(unit: Unit, jobs: list[TurnaroundJob]) -> str:
    what = ngettext(
        "Unit %(unit)s is not ready: %(count)s job is open (%(jobs)s).",
        "Unit %(unit)s is not ready: %(count)s jobs are open (%(jobs)s).",
        len(jobs),
    ) % {"unit": unit.number, "count": len(jobs), "jobs": "; ".join(title(job) for job in jobs[:3])}
    return f"{what} {_('Do them, or have a manager let it go without, with a reason.')}"


@transaction.atomic
def let_go(unit: Unit, *, rental: Rental, reason: str, act: Act) -> NotReady:
    """One rental may leave with what is open now and what falls due before it is back.

    Raises CannotBe, NotAllowed, Http404.
    """
    require(act.by, Right.RELEASE, unit.branch_id)
    require(act.by, Right.RELEASE, rental.branch_id)
    if earlier := act.replayed(NotReady, chain=rental.pk, kind="unit.let_go"):
        return earlier
    jobs, due = open_jobs(unit), due_on_the_trip(unit, rental)
    if not jobs and not due:
        raise CannotBe(_("Nothing is open on unit %(unit)s: it is ready.") % {"unit": unit.number})
    if not reason.strip():
        raise CannotBe(_("Say why it may go: it is printed on the Record of the pickup."), "reason")
    row = NotReady(id=act.key, unit=unit, rental=rental, reason=reason.strip(), at=act.at, by=act.by)
    row.due = [{"kind": each.kind, "due_on": each.due_on.isoformat()} for each in due]
    row.save(force_insert=True)
    row.jobs.set(jobs)
    payload = {"unit": unit.number, "reason": worded(row.reason), "jobs": [str(job.pk) for job in jobs], "due": row.due}
    act.write(chain=rental.pk, kind="unit.let_go", subject=row.pk, payload=payload)
    return row
