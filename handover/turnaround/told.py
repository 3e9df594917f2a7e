"""What the Record of a pickup says of a unit that went out with jobs open or something due."""

from typing import Any

from handover.turnaround.models import NotReady
from handover.turnaround.words import due_title, title
from handover.walkround.models import WalkRound
from shared.clock import local


def let_go_document(walk: WalkRound, *, zone: str) -> dict[str, Any] | None:
    """The last release of this unit for this rental; call it with the house language active."""
    rows = NotReady.objects.filter(unit_id=walk.leg.unit_id, rental_id=walk.leg.rental_id)
    row = rows.select_related("by").prefetch_related("jobs").order_by("at", "id").last()
    if row is None:
        return None
    return {
        "jobs": [title(job) for job in row.jobs.all()],
        "due": [due_title(each) for each in row.due],
        "reason": row.reason,
        "by": str(row.by),
        "at": local(row.at, zone).isoformat(timespec="seconds"),
    }
