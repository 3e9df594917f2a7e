"""What a customer said last of when they will be back, as long as it is later than the planned return."""

from datetime import datetime

from django.db.models import OuterRef, Subquery

from handover.customer.models import LateAnnounced
from handover.rental.models import Rental

State = Rental.State
IS_OUT = frozenset({State.OUT, State.SWAP})


def may_announce(rental: Rental) -> bool:
    """While it is out and not back."""
    return rental.frozen_at is not None and rental.state in IS_OUT


def said_back_at() -> Subquery:
    """Annotates rentals with `says_back_at`, as they are read."""
    rows = LateAnnounced.objects.filter(rental=OuterRef("pk")).order_by("-at", "-id")
    return Subquery(rows.values("back_at")[:1])


def later_than_planned(rental: Rental, back_at: datetime | None) -> datetime | None:
    """None once it is back, or once more time was confirmed, or where the word was taken back."""
    stands = back_at is not None and may_announce(rental) and back_at > rental.planned_back_at
    return back_at if stands else None


def late_said(rental: Rental) -> LateAnnounced | None:
    """One query."""
    row = LateAnnounced.objects.filter(rental=rental).last()
    return row if row and later_than_planned(rental, row.back_at) else None
