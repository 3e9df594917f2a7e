"""A lower excess, bought on the way. It never reaches back to what has happened."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.db import transaction

from handover.acting import Act, CannotBe
from handover.rental.models import Rental
from handover.settlement.amounts import check_amount
from handover.trip.guard import ON_THE_TRIP, begin, check_happened, said, written
from handover.trip.models import ExcessReduction
from shared.access.roles import Right
from shared.money import money_text

KIND = "trip.excess_lowered"


@dataclass(frozen=True, slots=True)
class ReductionTerms:
    """Amounts in the rental's currency. The price is paid when it is bought, as every Extra's is."""

    excess: Decimal
    price: Decimal
    bought_at: datetime
    from_at: datetime


@transaction.atomic
def reduce_excess(*, rental: Rental, terms: ReductionTerms, act: Act) -> ExcessReduction:
    """Raises CannotBe for an excess that is not lower, and for a start before it was bought."""
    if earlier := begin(rental, ExcessReduction, KIND, Right.BOOK, act):
        return earlier
    if rental.state not in ON_THE_TRIP:
        stands = rental.get_state_display().lower()
        raise CannotBe(f"{rental.number} is {stands}: nothing is to come that a lower excess could cover.")
    check_happened(rental, terms.bought_at, act, field="bought_at")
    _check(rental, terms)
    kept = ExcessReduction.objects.create(
        id=act.key, rental=rental, at=terms.bought_at, noted_at=act.at, by=act.by, excess=terms.excess,
        price=terms.price, from_at=terms.from_at,
    )  # fmt: skip
    act.write(
        chain=rental.pk, kind=KIND, subject=kept.pk,
        payload={
            "excess": str(kept.excess), "price": str(kept.price), "bought_at": written(kept.at, rental),
            "from": written(kept.from_at, rental),
        },
    )  # fmt: skip
    return kept


def _check(rental: Rental, terms: ReductionTerms) -> None:
    check_amount(terms.excess, rental.currency, "excess")
    check_amount(terms.price, rental.currency, "price")
    now = min([rental.excess, *rental.excessreductions.values_list("excess", flat=True)])
    if terms.excess >= now:
        raise CannotBe(f"The excess is {money_text(now, rental.currency)} already. Give a lower one.", "excess")
    if terms.from_at < terms.bought_at:
        raise CannotBe(
            f"It was bought on {said(terms.bought_at, rental)}: it counts for what happens after that, not before.",
            "from_at",
        )
    if terms.from_at >= rental.planned_back_at:
        planned = said(rental.planned_back_at, rental)
        raise CannotBe(f"The return is planned for {planned}. Give a time before that.", "from_at")
