"""A lower excess, bought on the way. It never reaches back to what has happened."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.rental.models import Rental
from handover.settlement.amounts import check_amount
from handover.trip.guard import ON_THE_TRIP, begin, check_happened, said, written
from handover.trip.models import ExcessReduction
from shared.access.roles import Right
from shared.money import money_text
from shared.phrasebook import inside

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
        stands = inside(rental.get_state_display())
        raise CannotBe(
            _("%(rental)s is %(stands)s: nothing is to come that a lower excess could cover.")
            % {"rental": rental.number, "stands": stands}
        )
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
        raise CannotBe(
            _("The excess is %(now)s already. Give a lower one.") % {"now": money_text(now, rental.currency)}, "excess"
        )
    if terms.from_at < terms.bought_at:
        raise CannotBe(
            _("It was bought on %(bought_at)s: it counts for what happens after that, not before.")
            % {"bought_at": said(terms.bought_at, rental)},
            "from_at",
        )
    if terms.from_at >= rental.planned_back_at:
        planned = said(rental.planned_back_at, rental)
        raise CannotBe(
            _("The return is planned for %(planned)s. Give a time before that.") % {"planned": planned}, "from_at"
        )
