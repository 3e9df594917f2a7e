"""More days, agreed and confirmed. Agreed on the phone and confirmed by nobody, it does not count."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.rental.models import Rental
from handover.settlement.amounts import check_amount
from handover.trip.guard import begin, check_happened, said, written
from handover.trip.legs import check_free
from handover.trip.models import Extension
from shared.access.roles import Right
from shared.canonical import Json

AGREED, CONFIRMED = "trip.extension_agreed", "trip.extension_confirmed"
MOST_DAYS = 365


@dataclass(frozen=True, slots=True)
class ExtensionTerms:
    """`agreed_at` may lie before the note of it; 0 days are some hours more, for nothing."""

    days: int
    new_return_at: datetime
    day_rate: Decimal
    channel: str
    agreed_at: datetime
    confirmed: bool


@transaction.atomic
def agree_extension(*, rental: Rental, terms: ExtensionTerms, act: Act) -> Extension:
    """Raises CannotBe for a time before the planned return, or one that the unit's next booking needs."""
    if earlier := begin(rental, Extension, AGREED, Right.BOOK, act):
        return earlier
    check_happened(rental, terms.agreed_at, act, field="agreed_at")
    _check_terms(rental, terms)
    _check_return(rental, terms.new_return_at)
    extension = Extension.objects.create(
        id=act.key, rental=rental, at=terms.agreed_at, noted_at=act.at, by=act.by, days=terms.days,
        day_rate=terms.day_rate, new_return_at=terms.new_return_at, channel=terms.channel.strip(),
    )  # fmt: skip
    if terms.confirmed:
        _confirm(extension, rental, act)
    act.write(chain=rental.pk, kind=AGREED, subject=extension.pk, payload=_told(extension, rental))
    return extension


def _check_terms(rental: Rental, terms: ExtensionTerms) -> None:
    if not 0 <= terms.days <= MOST_DAYS:
        raise CannotBe(
            _("%(days)s days cannot be added. Give 0 to %(most)s.") % {"days": terms.days, "most": MOST_DAYS}, "days"
        )
    if not terms.channel.strip():
        raise CannotBe(_("Say how it was agreed: on the phone, by message, at the desk."), "channel")
    check_amount(terms.day_rate, rental.currency, "day_rate")


def _check_return(rental: Rental, new_return_at: datetime) -> None:
    if new_return_at <= rental.planned_back_at:
        raise CannotBe(
            _("The return is planned for %(planned_back_at)s already. An extension ends after it.")
            % {"planned_back_at": said(rental.planned_back_at, rental)},
            "new_return_at",
        )
    # Once it is back the time is gone: a back-dated extension takes the unit from nobody.
    if rental.state not in {Rental.State.BACK, Rental.State.SETTLED}:
        leg = rental.legs.select_related("unit").get(ended_at__isnull=True)
        free = {"instead": _("Give an earlier time"), "field": "new_return_at"}
        check_free(leg.unit, rental, rental.planned_back_at, new_return_at, **free)


@transaction.atomic
def confirm_extension(*, extension: Extension, act: Act) -> Extension:
    """The written confirmation went out: from now on the new return counts. Raises CannotBe."""
    rental = extension.rental
    if earlier := begin(rental, Extension, CONFIRMED, Right.BOOK, act):
        return earlier
    extension.refresh_from_db()
    if extension.confirmed_at:
        raise CannotBe(
            _("This was confirmed on %(confirmed_at)s.") % {"confirmed_at": said(extension.confirmed_at, rental)}
        )
    _check_return(rental, extension.new_return_at)
    _confirm(extension, rental, act)
    act.write(chain=rental.pk, kind=CONFIRMED, subject=extension.pk, payload=_told(extension, rental))
    return extension


def _confirm(extension: Extension, rental: Rental, act: Act) -> None:
    """The planned return moves with it, so that the day board and the next booking know."""
    extension.was_back_at, extension.confirmed_at, extension.confirmed_by = rental.planned_back_at, act.at, act.by
    extension.save(update_fields=["was_back_at", "confirmed_at", "confirmed_by"])
    rental.planned_back_at = extension.new_return_at
    rental.save(update_fields=["planned_back_at"])


def _told(extension: Extension, rental: Rental) -> dict[str, Json]:
    return {
        "days": extension.days,
        "day_rate": str(extension.day_rate),
        "new_return_at": written(extension.new_return_at, rental),
        "was_back_at": written(extension.was_back_at, rental) if extension.was_back_at else None,
        "agreed_at": written(extension.at, rental),
        "channel": extension.channel,
        "confirmed": extension.confirmed_at is not None,
    }
