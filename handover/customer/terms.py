"""What a branch grants on the customer's page, and until when a rental's customer may report something."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.conf import settings

from fleet.models import Branch
from handover.customer.models import CustomerTerms
from handover.rental.models import Rental

State = Rental.State
ON_THE_TRIP = frozenset({State.OUT, State.SWAP, State.RETURN})


@dataclass(frozen=True, slots=True)
class Terms:
    """`link_days` after the planned return, `notice_hours` after the pickup."""

    link_days: int
    notice_hours: int


def terms_of(branch: Branch) -> Terms:
    row = CustomerTerms.objects.filter(branch=branch).first()
    if row is None:
        return Terms(settings.CUSTOMER_LINK_DAYS, settings.CUSTOMER_NOTICE_HOURS)
    return Terms(row.link_days, row.notice_hours)


def open_until(rental: Rental, terms: Terms, *, now: datetime) -> datetime:
    """A link made after the return stays open as many days from then on."""
    return max(rental.planned_back_at, now) + timedelta(days=terms.link_days)


def may_report(rental: Rental, back_at: datetime | None, now: datetime) -> bool:
    """While the unit is out, and after the return for as long as the branch hears objections."""
    if rental.frozen_at is None or rental.state == State.CANCELLED:
        return False
    if back_at is None or rental.state in ON_THE_TRIP:
        return True
    return now <= back_at + timedelta(days=rental.branch.objection_days)
