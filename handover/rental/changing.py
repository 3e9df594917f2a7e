"""Changing a booking before its pickup begins. Afterwards the promise is signed and stays."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from datetime import datetime
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.rental.booking import BookingDetails, check_booking
from handover.rental.models import Leg, Rental
from handover.rental.taken import legs_taking
from shared.access.roles import Right
from shared.access.scope import require
from shared.canonical import Json
from shared.ledger.rows import written
from shared.phrasebook import inside

KIND = "rental.changed"


@dataclass(frozen=True, slots=True)
class BookingTerms:
    """What can still change. Times are aware; amounts in the branch's currency."""

    planned_out_at: datetime
    planned_back_at: datetime
    charged_days: int
    liability_option: str
    excess: Decimal
    deposit_held: Decimal


@transaction.atomic
def change_booking(*, rental: Rental, terms: BookingTerms, act: Act) -> Rental:
    """Keep the new terms; the ledger keeps the old ones beside them. Raises CannotBe, NotAllowed, Http404."""
    require(act.by, Right.BOOK, rental.branch_id)
    if act.replayed(Rental, chain=rental.pk, kind=KIND):
        return rental
    # Read again under the chain's lock: the pickup may have begun meanwhile.
    kept = Rental.objects.select_related("branch", "customer").get(pk=rental.pk)
    if kept.state != Rental.State.BOOKED:
        raise CannotBe(
            _("%(number)s is %(state)s: its terms stay as they were signed.")
            % {"number": kept.number, "state": inside(kept.get_state_display())}
        )
    check_terms(kept, terms)
    changed = dict(_changes(kept, terms))
    if changed:
        Rental.objects.filter(pk=kept.pk).update(**{name: getattr(terms, name) for name in changed})
        written([kept])
        act.write(chain=kept.pk, kind=KIND, subject=kept.pk, payload=changed)
    kept.refresh_from_db()
    return kept


def check_terms(rental: Rental, terms: BookingTerms) -> None:
    """Raises CannotBe for the first term that cannot be."""
    for leg in rental.legs.select_related("unit__branch"):
        check_booking(
            BookingDetails(
                customer_name=rental.customer.name,
                unit=leg.unit,
                planned_out_at=terms.planned_out_at,
                planned_back_at=terms.planned_back_at,
                charged_days=terms.charged_days,
                excess=terms.excess,
                deposit_held=terms.deposit_held,
            )
        )
        _check_free(leg, terms)


def _check_free(leg: Leg, terms: BookingTerms) -> None:
    others = legs_taking(leg.unit, terms.planned_out_at, terms.planned_back_at).exclude(rental=leg.rental_id)
    if clash := others.first():
        raise CannotBe(
            _("Unit %(unit)s is out for %(rental)s in that time. Choose other times.")
            % {"unit": leg.unit.number, "rental": clash.rental.number},
            "planned_out_at",
        )


def _changes(rental: Rental, terms: BookingTerms) -> Iterator[tuple[str, Mapping[str, Json]]]:
    for field in fields(terms):
        was, now = getattr(rental, field.name), getattr(terms, field.name)
        if was != now:
            yield field.name, {"was": _written(was), "now": _written(now)}


def _written(value: datetime | Decimal | str | int) -> Json:
    if isinstance(value, datetime):
        return value.isoformat()
    return str(value) if isinstance(value, Decimal) else value
