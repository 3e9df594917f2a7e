"""What the jobs since the last return left in the tanks: the next pickup starts from it."""

from uuid import UUID

from handover.turnaround.models import TurnaroundJob
from handover.walkround.models import Reading, WalkRound


def left(walk: WalkRound) -> dict[UUID, Reading]:
    """By instrument the reading of the last job closed before this pickup began; offered only, never kept as read."""
    jobs = TurnaroundJob.objects.filter(unit_id=walk.leg.unit_id, reading__isnull=False, closed_at__lte=walk.started_at)
    since = walk.before.started_at if walk.before else walk.started_at
    rows = jobs.filter(closed_at__gte=since).select_related("closed_by").order_by("closed_at", "id")
    return {
        job.subject: Reading(item_id=job.subject, value=job.reading, at=job.closed_at, by=job.closed_by)
        for job in rows
        if job.subject and job.closed_at
    }
