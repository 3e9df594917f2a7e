"""Selling an Extra to a rental that has not left: bought later, it could cover nothing it is sold for."""

from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.rental.models import ExtraOffer, Rental, RentalExtra
from shared.access.roles import Right
from shared.access.scope import require
from shared.clock import local
from shared.dates import moment_text
from shared.phrasebook import inside


def offers_for(rental: Rental) -> list[ExtraOffer]:
    return list(ExtraOffer.objects.filter(branch=rental.branch_id, retired=False))


@transaction.atomic
def sell_extra(rental: Rental, *, offer: UUID, act: Act) -> RentalExtra:
    """Adds an Extra as it is sold now. Raises CannotBe after the pickup signature, NotAllowed, Http404."""
    require(act.by, Right.BOOK, rental.branch_id)
    if earlier := act.replayed(RentalExtra, chain=rental.pk, kind="extra.sold"):
        return earlier
    sold = ExtraOffer.objects.filter(pk=offer, branch=rental.branch_id, retired=False).first()
    if sold is None:
        raise CannotBe(_("This Extra is not sold here. Choose one of the list."), "offer")
    rental.refresh_from_db(fields=["state", "frozen_at"])
    _check_in_time(rental)
    extra = RentalExtra.objects.create(
        id=act.key, rental=rental, name=sold.name, covers=sold.covers, price=sold.price, purchased_at=act.at
    )
    act.write(
        chain=rental.pk,
        kind="extra.sold",
        subject=extra.pk,
        payload={"extra": sold.code, "price": str(sold.price), "covers": sold.covers},
    )
    return extra


def _check_in_time(rental: Rental) -> None:
    if rental.frozen_at:
        signed = local(rental.frozen_at, rental.branch.zone)
        raise CannotBe(
            _(
                "The pickup was signed on %(signed)s; an Extra counts only when bought before that. "
                "A lower excess for what happens from now on can be bought on the Trip page."
            )
            % {"signed": moment_text(signed)},
            "offer",
        )
    if rental.state not in {Rental.State.BOOKED, Rental.State.PICKUP}:
        raise CannotBe(
            _("%(rental)s is %(state)s: nothing can be added.")
            % {"rental": rental.number, "state": inside(rental.get_state_display())},
            "offer",
        )
