"""A customer says when they will be back. It is announced: the planned return and the price stay as agreed."""

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import AnyonesAct, CannotBe
from handover.customer.actions.noticing import is_crowded
from handover.customer.late.page import AT_MOST_LATER, price_of
from handover.customer.late.price import ComesTo
from handover.customer.late.standing import late_said, may_announce
from handover.customer.models import CustomerLink, LateAnnounced
from handover.rental.models import Rental
from shared.canonical import Json
from shared.clock import local
from shared.dates import dated_moment
from shared.ledger.personal import personal

KIND = "customer.late_announced"


@transaction.atomic
def announce_late(link: CustomerLink, *, back_at: datetime, words: str, act: AnyonesAct) -> LateAnnounced:
    """By a customer whose link the caller has checked. Raises CannotBe; sends nothing and moves nothing."""
    rental = link.rental
    if earlier := act.replayed(LateAnnounced, chain=rental.pk, kind=KIND):
        return earlier
    rental.refresh_from_db(fields=["state", "frozen_at", "planned_back_at"])
    check_later(rental, back_at, now=act.at)
    if is_crowded(LateAnnounced.objects.filter(rental=rental), act.at):
        raise CannotBe(_("Many times came in a short while; all are kept, and the last one counts. Ring the branch."))
    price = price_of(rental, back_at)
    row = LateAnnounced(
        id=act.key, rental=rental, link=link, planned_back_at=rental.planned_back_at, back_at=back_at,
        due=price.due if price else None, words=words.strip(), at=act.at,
    )  # fmt: skip
    row.save(force_insert=True)
    act.write(chain=rental.pk, kind=KIND, subject=row.pk, payload=_told(row, price))
    return row


def check_later(rental: Rental, back_at: datetime, *, now: datetime) -> None:
    """A time to come, later than the planned return or equal to it where an earlier word is taken back."""
    if not may_announce(rental):
        raise CannotBe(_("It is not out on this rental now, so no time was kept. Ring the branch if that is not so."))
    planned = rental.planned_back_at
    if back_at <= now:
        raise CannotBe(_("%(at)s is past. Give a time to come.") % {"at": _said(back_at, rental)}, "back_at")
    if back_at < planned or (back_at == planned and late_said(rental) is None):
        sentence = _("The return is planned for %(planned)s: by then nothing is late. Give a later time.")
        raise CannotBe(sentence % {"planned": _said(planned, rental)}, "back_at")
    if back_at > planned + AT_MOST_LATER:
        sentence = _(
            "%(at)s is more than %(days)s days after the planned return. Ring the branch about so long a time."
        )
        raise CannotBe(sentence % {"at": _said(back_at, rental), "days": AT_MOST_LATER.days}, "back_at")


def _said(at: datetime, rental: Rental) -> str:
    return dated_moment(local(at, rental.branch.zone))


def _told(row: LateAnnounced, price: ComesTo | None) -> dict[str, Json]:
    """The words may name people; the amounts are those that the page said."""
    zone = row.rental.branch.zone
    return {
        "link_sha256": row.link.digest,
        "planned_back_at": local(row.planned_back_at, zone).isoformat(timespec="minutes"),
        "back_at": local(row.back_at, zone).isoformat(timespec="minutes"),
        "comes_to": {"raw": str(price.raw), "covered": str(price.covered), "due": str(price.due)} if price else None,
        "words": personal(row.words, kind="customer.late_announced") if row.words else None,
    }
