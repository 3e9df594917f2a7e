"""A booking is changed before its pickup begins, by the action of the setting-up pages."""

from decimal import Decimal
from typing import Any, TypeVar
from uuid import UUID

from django.db import transaction
from django.shortcuts import get_object_or_404
from django.utils import timezone

from handover.acting import Act
from handover.api.bookings_schema import TermsIn
from handover.api.etags import check_if_match
from handover.api.rendering import rendered
from handover.api.rentals import rentals_out, router, shown
from handover.api.rentals_schema import RentalOut
from handover.api.scopes import Scope
from handover.api.tokens import Scoped, TokenRequest
from handover.rental.changing import BookingTerms, change_booking
from handover.rental.models import Rental
from shared.access.scope import scoped
from shared.ids import uuid7

__all__ = ["router"]  # with the reads of the same address: a path's operations stand in one router
T = TypeVar("T")


@router.patch(
    "/rentals/{uuid:rental_id}", response=RentalOut, url_name="api-rental", operation_id="change_booking",
    auth=Scoped(Scope.BOOKINGS_WRITE),
)  # fmt: skip
def change(request: TokenRequest, rental_id: UUID, terms: TermsIn) -> Any:
    """Change a booking before its pickup begins. `If-Match` names the version: the ETag of the rental."""
    with transaction.atomic():
        mine = scoped(Rental.objects.all(), request.auth.person)
        kept = get_object_or_404(mine.select_for_update(), pk=rental_id)
        check_if_match(request, lambda: rendered(_read_again(kept)))
        act = Act(by=request.auth.person, at=timezone.now(), key=uuid7(), device="api")
        change_booking(rental=kept, terms=_terms(kept, terms), act=act)
        return _read_again(kept)


def _read_again(rental: Rental) -> RentalOut:
    return shown(rentals_out().get(pk=rental.pk))


def _terms(rental: Rental, sent: TermsIn) -> BookingTerms:
    """What is sent, and for the rest what is there."""

    def kept(said: T | None, was: T) -> T:
        return was if said is None else said

    return BookingTerms(
        planned_out_at=kept(sent.planned_out_at, rental.planned_out_at),
        planned_back_at=kept(sent.planned_back_at, rental.planned_back_at),
        charged_days=kept(sent.charged_days, rental.charged_days),
        liability_option=kept(sent.liability_option, rental.liability_option),
        excess=Decimal(kept(sent.excess, str(rental.excess))),
        deposit_held=Decimal(kept(sent.deposit, str(rental.deposit_held))),
    )
