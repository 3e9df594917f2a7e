"""Disputes of a branch by their deadline, and one of them with all that its page needs."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet

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
    branch: Branch
    open: Sequence[Row]
    decided: Sequence[Row]

    @property
    def late(self) -> int:
        return sum(row.left < 0 for row in self.open)


def disputes_in_full() -> QuerySet[Dispute]:
    return Dispute.objects.select_related(*IN_FULL)


def disputes_page(branch: Branch, *, today: date) -> DisputesPage:
    """Two queries: the open ones, the next deadline first, and the last decided ones."""
    rows = Dispute.objects.filter(rental__branch=branch).select_related("rental__customer", "statement", "decision__by")
    still = rows.filter(state=Dispute.State.OPEN).order_by("answer_by", "number")[:MOST_SHOWN]
    done = rows.filter(state=Dispute.State.DECIDED).order_by("-decision__at")[:MOST_DECIDED]
    return DisputesPage(branch, [_row(row, today) for row in still], [_row(row, today) for row in done])


def _row(dispute: Dispute, today: date) -> Row:
    return Row(dispute, (dispute.answer_by - today).days)
