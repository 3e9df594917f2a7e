"""Disputes of a branch by their deadline, and one of them with all that its page needs."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import Count, Q, QuerySet

from fleet.models import Branch
from handover.dispute.evidence.gathering import IN_FULL
from handover.dispute.models import Dispute

MOST_SHOWN = 200
MOST_DECIDED = 20


@dataclass(frozen=True, slots=True)
class Row:
    """`left` are the days until the deadline, below zero once it has passed."""

    dispute: Dispute
    left: int


@dataclass(frozen=True, slots=True)
class DisputesPage:
    """`open` are the first MOST_SHOWN of `many`; `late` counts them all."""

    branch: Branch
    open: Sequence[Row]
    many: int
    late: int
    decided: Sequence[Row]


def disputes_in_full() -> QuerySet[Dispute]:
    return Dispute.objects.select_related(*IN_FULL)


def disputes_page(branch: Branch, *, today: date) -> DisputesPage:
    """Three queries: the open ones, the next deadline first, how many there are, and the last decided ones."""
    rows = Dispute.objects.filter(rental__branch=branch).select_related("rental__customer", "statement", "decision__by")
    still = rows.filter(state=Dispute.State.OPEN).order_by("answer_by", "number")
    counted = still.aggregate(many=Count("pk"), late=Count("pk", filter=Q(answer_by__lt=today)))
    done = rows.filter(state=Dispute.State.DECIDED).order_by("-decision__at")[:MOST_DECIDED]
    shown = [_row(row, today) for row in still[:MOST_SHOWN]]
    return DisputesPage(branch, shown, decided=[_row(row, today) for row in done], **counted)


def _row(dispute: Dispute, today: date) -> Row:
    return Row(dispute, (dispute.answer_by - today).days)
