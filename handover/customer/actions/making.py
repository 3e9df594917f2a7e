"""A link is made for a rental, and taken back."""

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.customer.models import CustomerLink
from handover.customer.terms import open_until, terms_of
from handover.customer.token import digest_of, token_for
from handover.rental.models import Rental
from shared.access.roles import Right
from shared.access.scope import require

MADE, REVOKED = "customer.link_made", "customer.link_revoked"


@transaction.atomic
def make_link(rental: Rental, *, act: Act) -> CustomerLink:
    """A new way in beside those that are open: a second driver may have one of their own. Raises CannotBe."""
    require(act.by, Right.SETTLE, rental.branch_id)
    if earlier := act.replayed(CustomerLink, chain=rental.pk, kind=MADE):
        return earlier
    rental.refresh_from_db(fields=["state", "planned_back_at"])
    if rental.state == Rental.State.CANCELLED:
        raise CannotBe(_("%(rental)s was cancelled: there is nothing to show.") % {"rental": rental.number})
    link = CustomerLink.objects.create(
        id=act.key, rental=rental, digest=digest_of(token_for(act.key, rental.pk)), made_at=act.at, made_by=act.by,
        expires_at=open_until(rental, terms_of(rental.branch), now=act.at),
    )  # fmt: skip
    told = {"link_sha256": link.digest, "open_until": link.expires_at.isoformat()}
    act.write(chain=rental.pk, kind=MADE, subject=link.pk, payload=told)
    return link


@transaction.atomic
def revoke_link(link: CustomerLink, *, act: Act) -> CustomerLink:
    """From now on its address opens nothing; what was kept through it stays. Raises CannotBe."""
    rental = link.rental
    require(act.by, Right.SETTLE, rental.branch_id)
    if earlier := act.replayed(CustomerLink, chain=rental.pk, kind=REVOKED):
        return earlier
    link.refresh_from_db(fields=["revoked_at"])
    if link.revoked_at is not None:
        raise CannotBe(_("This link was withdrawn already."))
    link.revoked_at, link.revoked_by = act.at, act.by
    link.save(update_fields=["revoked_at", "revoked_by"])
    act.write(chain=rental.pk, kind=REVOKED, subject=link.pk, payload={"link_sha256": link.digest})
    return link
