"""What was ordered and has no task any more: a process may be killed between the order and its task."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Model
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult

from handover.customer.actions.sending import deliver
from handover.customer.models import LinkDelivery
from handover.dispute.actions.bundling import make_bundle
from handover.dispute.actions.letting_know import make_letter
from handover.dispute.models import Bundle, Letter
from handover.photo.models import PhotoPair
from handover.photo.pairing import make_pair
from handover.record.actions import make_record
from handover.record.models import Record

# Each task looks first whether it is still to be done, so that one too many does no harm.
TASKS: tuple[tuple[type[Model], str, Any], ...] = (
    (Record, "made_at", make_record),
    (Letter, "ordered_at", make_letter),
    (Bundle, "ordered_at", make_bundle),
    (LinkDelivery, "at", deliver),
    (PhotoPair, "now__at", make_pair),
)
JUST_ORDERED = timedelta(minutes=2)


def order_again(now: datetime) -> Iterator[Model]:
    """Each row that waits, was not ordered just now and has no task that waits or runs; its task is ordered."""
    known = _with_a_task()
    for model, ordered, task in TASKS:
        waiting = model._base_manager.filter(state="waiting", **{f"{ordered}__lt": now - JUST_ORDERED})
        for row in waiting.order_by(ordered):
            if str(row.pk) not in known:
                task.enqueue(str(row.pk))
                yield row


def _with_a_task() -> set[str]:
    alive = DBTaskResult.objects.filter(status__in=(TaskResultStatus.READY, TaskResultStatus.RUNNING)).order_by()
    return {str(one) for said in alive.values_list("args_kwargs", flat=True) for one in said.get("args", ())}
