"""Disputes of a branch by their deadline, and one of them with all that its page needs."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet

from fleet.models import Branch
from handover.dispute.evidence.gathering import IN_FULL
from handover.dispute.models import Dispute
from shared.listing import Listing, listing

MOST_SHOWN = 200
MOST_DECIDED = 20


@dataclass(frozen=True, slots=True)
class Row:
    """`left` are the days until the deadline, below zero once it has passed."""

    dispute: Dispute
    left: int


@dataclass(frozen=True, slots=True)
class DisputesPage:
    """`late` counts all whose deadline has passed, also those that are not shown."""

    branch: Branch
    open: Listing[Row]
    late: int
    decided: Sequence[Row]


def disputes_in_full() -> QuerySet[Dispute]:
    return Dispute.objects.select_related(*IN_FULL)


def disputes_page(branch: Branch, *, today: date) -> DisputesPage:
    """Three queries: the open ones, the next deadline first, how many are late, and the last decided ones."""
    rows = Dispute.objects.filter(rental__branch=branch).select_related("rental__customer", "statement", "decision__by")
    still = rows.filter(state=Dispute.State.OPEN).order_by("answer_by", "number")
    done = rows.filter(state=Dispute.State.DECIDED).order_by("-decision__at")[:MOST_DECIDED]
    return DisputesPage(
        branch=branch,
        open=listing([_row(row, today) for row in still[:MOST_SHOWN]], still, MOST_SHOWN),
        late=still.filter(answer_by__lt=today).count(),
        decided=[_row(row, today) for row in done],
    )


def _row(dispute: Dispute, today: date) -> Row:
    return Row(dispute, (dispute.answer_by - today).days)
