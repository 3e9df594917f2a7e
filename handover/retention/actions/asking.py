"""A person asks that their data go: what nothing holds back goes now, the rest when it is no longer held."""

from dataclasses import replace
from uuid import uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.customer.models import CustomerLink
from handover.rental.models import Customer
from handover.retention.erasing.whole import erase
from handover.retention.judging import Judged
from handover.retention.models import ErasureRequest, Why
from handover.retention.requests import finish_requests, judged_of
from shared.access.roles import Right
from shared.access.scope import require

ASKED = "erasure.asked"


def erase_person(customer: Customer, *, act: Act) -> ErasureRequest:
    """Keep the request, then erase rental by rental, each in its own transaction.

    Raises Http404 and NotAllowed as usual, CannotBe where a rental of another branch is among them, PricedOtherwise.
    """
    request = _keep_request(customer, act)
    for row in judged_of(customer, now=act.at):
        own = replace(act, key=uuid5(act.key, str(row.rental.pk)))
        erase(row.rental, row.scope(Why.REQUEST, day=act.at.date()), act=own)
    finish_requests(now=act.at)
    request.refresh_from_db()
    return request


@transaction.atomic
def _keep_request(customer: Customer, act: Act) -> ErasureRequest:
    rows = judged_of(customer, now=act.at)
    for row in rows:
        if row.rental.branch_id not in act.by.branch_ids:
            raise CannotBe(
                _("%(rental)s belongs to another branch. Someone who is posted there too erases this person.")
                % {"rental": row.rental.number}
            )
        require(act.by, Right.VERIFY, row.rental.branch_id)
    if earlier := act.replayed(ErasureRequest, chain=customer.pk, kind=ASKED):
        return earlier
    standing = ErasureRequest.objects.filter(customer=customer, done_at=None).first()
    request = standing or ErasureRequest.objects.create(id=act.key, customer=customer, at=act.at, by=act.by)
    _close_links(rows, act)
    act.write(chain=customer.pk, kind=ASKED, subject=request.pk, payload={"rentals": len(rows)})
    return request


def _close_links(rows: list[Judged], act: Act) -> None:
    """The customer's page shows what is erased here; where a dispute is open they still need it."""
    ready = [row.rental for row in rows if not row.holds]
    for link in CustomerLink.objects.filter(rental__in=ready, revoked_at=None):
        link.revoked_at, link.revoked_by = act.at, act.by
        link.save(update_fields=["revoked_at", "revoked_by"])
