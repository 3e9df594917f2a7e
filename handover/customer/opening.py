"""Whether an address that somebody holds opens a rental now; if not, why, and what to do."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.conf import settings
from django.db.models import F
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import override

from handover.cabcard.tongues import Tongues, tongues_for
from handover.customer.models import CustomerLink, LinkOpening
from handover.customer.token import is_of, link_id_in, token_of
from handover.rental.models import Rental
from shared.clock import local
from shared.dates import dated

A_MINUTE = timedelta(minutes=1)


class Closed(Exception):
    """`sentence` says why the address opens nothing, `advice` what to do; `tongues` whose language, where known."""

    def __init__(self, sentence: str, advice: str, tongues: Tongues | None = None) -> None:
        super().__init__(sentence)
        self.sentence, self.advice, self.tongues = sentence, advice, tongues


@dataclass(frozen=True, slots=True)
class Visit:
    """A customer who came by a link that is open: whose rental, and in which language they are spoken to."""

    link: CustomerLink
    rental: Rental
    token: str
    tongues: Tongues
    at: datetime

    def path(self, name: str, *args: object) -> str:
        return reverse(f"customer-{name}", args=[self.token, *args])


def visit_by(token: str, *, now: datetime, language: str = "") -> Visit:
    """One query, and one that counts the opening; `language` is one asked for by the customer. Raises Closed."""
    rows = CustomerLink.objects.select_related("rental__branch", "rental__customer", "opening")
    link_id = link_id_in(token)
    link = rows.filter(pk=link_id).first() if link_id else None
    if link is None or not is_of(token, link):
        raise Closed(
            _("This address is not whole, or not one of ours."),
            _(
                "Open it from the e-mail or scan the code again. If it still does not open, ask the branch for a new "
                "one."
            ),
        )
    tongues = tongues_for(language or language_of(link.rental))
    _check_open(link, tongues, now)
    _count(link, now)
    return Visit(link, link.rental, token, tongues, now)


def language_of(rental: Rental) -> str:
    """The one chosen at the briefing: choosing it there makes it the customer's."""
    return rental.customer.language


def _check_open(link: CustomerLink, tongues: Tongues, now: datetime) -> None:
    with override(tongues.code):
        if link.revoked_at is not None:
            raise Closed(_("This link was withdrawn by the branch."), _("Ask the branch for a new one."), tongues)
        if link.rental.state == Rental.State.CANCELLED:
            raise Closed(_("This booking was cancelled."), _("Ask the branch if you think it was not."), tongues)
        if now > link.expires_at:
            day = dated(local(link.expires_at, link.rental.branch.zone))
            raise Closed(
                _("This link was open until %(day)s.") % {"day": day}, _("Ask the branch for a new one."), tongues
            )


def _count(link: CustomerLink, now: datetime) -> None:
    """At most once a minute: a page with its photos is one opening."""
    opening: LinkOpening | None = getattr(link, "opening", None)
    if opening is None:
        LinkOpening.objects.bulk_create([LinkOpening(link=link, at=now, count=1)], ignore_conflicts=True)
    elif opening.at < now - A_MINUTE:
        LinkOpening.objects.filter(pk=link.pk).update(at=now, count=F("count") + 1)


def address_of(link: CustomerLink) -> str:
    return settings.PUBLIC_URL + reverse("customer-page", args=[token_of(link)])
