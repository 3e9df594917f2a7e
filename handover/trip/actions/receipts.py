"""Gas bought on the trip: the receipt is kept as it is, whether it is paid back follows from the rate card."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.rental.models import Rental
from handover.settlement.amounts import check_amount
from handover.trip.guard import begin, check_happened, words, written
from handover.trip.models import GasReceipt
from shared.access.roles import Right

KIND = "trip.gas_receipt"


@dataclass(frozen=True, slots=True)
class ReceiptSaid:
    """`amount` in `currency`; `card_amount` in the rental's; `rate`: how much of that for one of the receipt's."""

    ref: str
    bought_at: datetime
    amount: Decimal
    currency: str
    reason: str
    operator_fault: bool
    card_amount: Decimal | None = None
    rate: Decimal | None = None


@transaction.atomic
def note_gas_receipt(*, rental: Rental, receipt: ReceiptSaid, act: Act) -> GasReceipt:
    """Raises CannotBe for an amount in another currency without what the card was charged, or the day's rate."""
    if earlier := begin(rental, GasReceipt, KIND, Right.SETTLE, act):
        return earlier
    check_happened(rental, receipt.bought_at, act, field="bought_at")
    _check_words(rental, receipt)
    _check_money(rental, receipt)
    kept = GasReceipt.objects.create(
        id=act.key, rental=rental, at=receipt.bought_at, noted_at=act.at, by=act.by, ref=receipt.ref.strip(),
        amount=receipt.amount, currency=receipt.currency, card_amount=receipt.card_amount, rate=receipt.rate,
        reason=receipt.reason.strip(), operator_fault=receipt.operator_fault,
    )  # fmt: skip
    act.write(
        chain=rental.pk, kind=KIND, subject=kept.pk,
        payload={
            "ref": words(kept.ref), "bought_at": written(kept.at, rental), "amount": str(kept.amount),
            "currency": kept.currency, "card_amount": _text(kept.card_amount), "rate": _text(kept.rate),
            "operator_fault": kept.operator_fault, "reason": words(kept.reason),
        },
    )  # fmt: skip
    return kept


def _text(amount: Decimal | None) -> str | None:
    return None if amount is None else str(amount)


def _check_words(rental: Rental, receipt: ReceiptSaid) -> None:
    if not receipt.ref.strip():
        raise CannotBe(_("A receipt needs its number, or a name to find it by."), "ref")
    if GasReceipt.objects.filter(rental=rental, ref=receipt.ref.strip()).exists():
        raise CannotBe(_("%(ref)s is already here. It is paid back once.") % {"ref": receipt.ref.strip()}, "ref")
    if not receipt.reason.strip():
        raise CannotBe(_("Say why gas was bought: used up, or less in it than promised."), "reason")


def _check_money(rental: Rental, receipt: ReceiptSaid) -> None:
    check_amount(receipt.amount, receipt.currency, "amount", above_zero=True)
    if receipt.card_amount is not None:
        check_amount(receipt.card_amount, rental.currency, "card_amount", above_zero=True)
    if receipt.rate is not None and receipt.rate <= 0:
        raise CannotBe(_("A rate is above 0."), "rate")
    if receipt.currency != rental.currency and receipt.card_amount is None and receipt.rate is None:
        raise CannotBe(
            _("A receipt in %(currency)s needs what the card was charged in %(own)s, or the reference rate of its day.")
            % {"currency": receipt.currency, "own": rental.currency},
            "card_amount",
        )
