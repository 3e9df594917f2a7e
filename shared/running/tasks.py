"""Tasks that wait for a worker, run, or failed; nothing where tasks run at once."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.conf import settings
from django.db.models import Count, Min
from django_tasks_db.models import DBTaskResult

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
