"""Money: exact decimals, rounded at one place, by the currency's own exponent."""

from decimal import ROUND_HALF_UP, Decimal
from functools import cache

from babel.core import UnknownLocaleError
from babel.numbers import format_currency, get_currency_precision, get_currency_symbol, is_currency

ZERO = Decimal(0)
NARROW = "\u202f"  # between thousands: a comma reads as a decimal point to half of the customers


class UnknownCurrency(ValueError):
    """The code is not an ISO 4217 currency."""


@cache
def exponent(currency: str) -> int:
    """Digits after the point of an ISO 4217 currency: EUR 2, JPY 0, KWD 3. Raises UnknownCurrency."""
    if not is_currency(currency):
        raise UnknownCurrency(f"{currency!r} is not a currency code of ISO 4217, such as EUR, GBP or JPY.")
    return get_currency_precision(currency)


@cache
def quantum(digits: int) -> Decimal:
    """The smallest amount with that many digits after the point: 2 gives 0.01."""
    return Decimal(1).scaleb(-digits)


def round_half_up(amount: Decimal, digits: int) -> Decimal:
    """Half up, away from zero: 70.875 is 70.88, -2.345 is -2.35. The only rounding of money in the product."""
    return amount.quantize(quantum(digits), rounding=ROUND_HALF_UP)


def money_text(amount: Decimal, currency: str, locale: str = "en_GB") -> str:
    """An amount as people read it: the sign before the currency (− £32.40), CA$ where CAD, £1 040.00.

    Raises TypeError for a float, UnknownCurrency for an unknown or absent code.
    """
    if not isinstance(amount, Decimal):
        raise TypeError(f"Money is a Decimal, not {type(amount).__name__}.")
    rounded = round_half_up(abs(amount), exponent(currency))
    try:
        text = format_currency(rounded, currency, locale=locale)
    except UnknownLocaleError:
        text = format_currency(rounded, currency, locale="en_GB")
    text = text.replace(",", NARROW) if locale.startswith("en") else text
    return f"− {text}" if amount < 0 and rounded else text


def symbol_of(currency: str) -> str:
    """£ where GBP, CA$ where CAD."""
    return get_currency_symbol(currency, locale="en_GB")
