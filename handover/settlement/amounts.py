"""Amounts that a person types: never below nothing, never finer than the currency."""

from decimal import Decimal

from handover.acting import CannotBe
from shared.money import UnknownCurrency, exponent

LARGEST = Decimal(1_000_000_000)


def check_amount(amount: Decimal, currency: str, field: str, *, above_zero: bool = False) -> None:
    """Raises CannotBe, at the field."""
    try:
        digits = exponent(currency)
    except UnknownCurrency as problem:
        raise CannotBe(str(problem), field) from problem
    if above_zero and not amount:
        raise CannotBe("0 moves nothing. Give an amount above 0.", field)
    if amount < 0:
        raise CannotBe(f"{amount} is below zero. Give 0 or more.", field)
    if amount >= LARGEST:
        raise CannotBe(f"{amount} is more than can be kept here. A digit may be doubled.", field)
    if -int(amount.normalize().as_tuple().exponent) > digits:
        raise CannotBe(f"{currency} has {digits} decimals; {amount} has more.", field)
