"""What a booking says, before it is one."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.utils.translation import gettext as _

from fleet.models import Unit
from handover.acting import CannotBe
from handover.rental.models import ExtraOffer
from handover.settlement.amounts import check_amount
from handover.written import check_words

MOST_DAYS = 365
MOST_DRIVERS = 20


@dataclass(frozen=True, slots=True)
class ExtraPurchase:
    offer: ExtraOffer
    purchased_at: datetime


@dataclass(frozen=True, slots=True)
class BookingDetails:
    """Times are aware; amounts in the branch's currency."""

    customer_name: str
    unit: Unit
    planned_out_at: datetime
    planned_back_at: datetime
    charged_days: int
    email: str = ""
    phone: str = ""
    language: str = "en"
    drivers: tuple[str, ...] = ()
    liability_option: str = ""
    excess: Decimal = Decimal(0)
    deposit_held: Decimal = Decimal(0)
    extras: tuple[ExtraPurchase, ...] = ()
    reference: str = ""


def check_booking(details: BookingDetails) -> None:
    """Raises CannotBe for the first thing that cannot be booked."""
    if not details.customer_name.strip():
        raise CannotBe(_("A rental needs the customer's name."), "customer_name")
    if details.planned_back_at <= details.planned_out_at:
        raise CannotBe(_("The return lies before the pickup. Give a later return."), "planned_back_at")
    if details.charged_days < 1:
        raise CannotBe(_("At least 1 day is charged."), "charged_days")
    if details.charged_days > MOST_DAYS:
        raise CannotBe(_("At most %(most)s days fit in one rental.") % {"most": MOST_DAYS}, "charged_days")
    if details.unit.retired:
        raise CannotBe(_("Unit %(unit)s is retired. Choose another unit.") % {"unit": details.unit.number}, "unit")
    check_amount(details.excess, details.unit.branch.currency, "excess")
    check_amount(details.deposit_held, details.unit.branch.currency, "deposit_held")
    _check_drivers(details.drivers)


def _check_drivers(names: tuple[str, ...]) -> None:
    if len(names) > MOST_DRIVERS:
        raise CannotBe(
            _("%(count)s drivers cannot be. Name up to %(most)s, one a line.")
            % {"count": len(names), "most": MOST_DRIVERS},
            "drivers",
        )
    for name in names:
        check_words(name, "drivers", most=120)
