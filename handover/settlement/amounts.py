"""Amounts that a person types: never below nothing, never finer than the currency."""

from decimal import Decimal

from django.utils.translation import gettext as _

from handover.acting import CannotBe
from shared.money import UnknownCurrency, exponent
from shared.phrasebook import said

LARGEST = Decimal(1_000_000_000)


def check_amount(amount: Decimal, currency: str, field: str, *, above_zero: bool = False) -> None:
    """Raises CannotBe, at the field."""
    try:
        digits = exponent(currency)
    except UnknownCurrency as problem:
        raise CannotBe(said(str(problem)), field) from problem
    if above_zero and not amount:
        raise CannotBe(_("0 moves nothing. Give an amount above 0."), field)
    if amount < 0:
        raise CannotBe(_("%(amount)s is below zero. Give 0 or more.") % {"amount": amount}, field)
    if amount >= LARGEST:
        raise CannotBe(
            _("%(amount)s is more than can be kept here. A digit may be doubled.") % {"amount": amount}, field
        )
    if -int(amount.normalize().as_tuple().exponent) > digits:
        raise CannotBe(
            _("%(currency)s has %(digits)s decimals; %(amount)s has more.")
            % {"currency": currency, "digits": digits, "amount": amount},
            field,
        )
