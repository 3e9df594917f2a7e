"""What a booking says, before it is one."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from fleet.models import Unit
from handover.acting import CannotBe
from handover.rental.models import ExtraOffer
from shared.money import exponent


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
        raise CannotBe("A rental needs the customer's name.", "customer_name")
    if details.planned_back_at <= details.planned_out_at:
        raise CannotBe("The return lies before the pickup. Give a later return.", "planned_back_at")
    if details.charged_days < 1:
        raise CannotBe("At least 1 day is charged.", "charged_days")
    if details.unit.retired:
        raise CannotBe(f"Unit {details.unit.number} is retired. Choose another unit.", "unit")
    _check_amount(details.excess, "excess", details)
    _check_amount(details.deposit_held, "deposit_held", details)


def _check_amount(amount: Decimal, field: str, details: BookingDetails) -> None:
    currency = details.unit.branch.currency
    if amount < 0:
        raise CannotBe(f"{amount} is below zero. Give 0 or more.", field)
    if -int(amount.normalize().as_tuple().exponent) > exponent(currency):
        raise CannotBe(f"{currency} has {exponent(currency)} decimals; {amount} has more.", field)
