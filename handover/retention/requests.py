"""Requests of persons that their data go: which are open, and which have come to their end."""

from datetime import datetime

from django.db import transaction
from django.utils import timezone

from handover.rental.models import Customer, Rental
from handover.retention.judging import Judged, judge
from handover.retention.models import ErasureRequest
from shared.ids import uuid7
from shared.ledger.writing import append

DONE = "erasure.done"


def rentals_of(customer: Customer) -> list[Rental]:
    rows = Rental.objects.filter(customer=customer).select_related("branch", "customer")
    return list(rows.order_by("planned_out_at", "pk"))


def judged_of(customer: Customer, *, now: datetime) -> list[Judged]:
    return judge(rentals_of(customer), today=now.date())


def finish_requests(*, now: datetime | None = None) -> int:
    """End each open request of which nothing is held back any more; how many."""
    at, ended = now or timezone.now(), 0
    for request in ErasureRequest.objects.filter(done_at=None).select_related("customer"):
        if not any(row.holds for row in judged_of(request.customer, now=at)):
            _end(request, at)
            ended += 1
    return ended


@transaction.atomic
def _end(request: ErasureRequest, at: datetime) -> None:
    request.done_at = at
    request.save(update_fields=["done_at"])
    append(
        chain=request.customer_id, kind=DONE, payload={}, by=None, key=uuid7(), happened_at=at, subject=request.pk
    )  # fmt: skip
