"""Tasks that wait for a worker, run, or failed; nothing where tasks run at once."""

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from django.conf import settings
from django.db.models import Count, Min, QuerySet
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult

# A bundle of many photos takes a minute; no task takes so long.
LONGEST_TASK = timedelta(minutes=15)
STATES = ("READY", "RUNNING", "SUCCESSFUL", "FAILED")


def are_handed_to_a_worker() -> bool:
    return str(settings.TASKS["default"]["BACKEND"]).endswith("DatabaseBackend")


def oldest_ready() -> datetime | None:
    """Since when the task has waited that waits longest, of those whose time has come."""
    if not are_handed_to_a_worker():
        return None
    found: Mapping[str, Any] = DBTaskResult.objects.ready().aggregate(oldest=Min("enqueued_at"))
    oldest: datetime | None = found["oldest"]
    return oldest


def counts() -> dict[str, int]:
    """By state; each state is named."""
    found = DBTaskResult.objects.order_by().values_list("status").annotate(count=Count("pk"))
    return dict.fromkeys(STATES, 0) | {str(state): count for state, count in found}


def stale(now: datetime) -> QuerySet[Any]:
    """Begun so long ago that their worker cannot be at them any more: it was killed, or its machine stopped."""
    return DBTaskResult.objects.running().filter(started_at__lt=now - LONGEST_TASK)


def take_again(tasks: QuerySet[Any]) -> int:
    """Put back among those that wait, and count them. What is made twice counts once: each task looks first."""
    return tasks.update(status=TaskResultStatus.READY, started_at=None, finished_at=None)


def of_worker(worker_id: str) -> QuerySet[Any]:
    """What it had begun and not ended, when it stopped; an id belongs to one worker at a time."""
    begun = DBTaskResult.objects.running()
    return begun.filter(pk__in=[task.pk for task in begun if task.worker_ids[-1:] == [worker_id]])
