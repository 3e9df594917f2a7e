"""Amounts as people read them."""

from decimal import Decimal

import pytest

from shared.money import UnknownCurrency, money_text, symbol_of


@pytest.mark.parametrize(
    ("amount", "currency", "text"),
    [
        ("-32.4", "GBP", "− £32.40"),
        ("12345.675", "GBP", "£12\u202f345.68"),
        ("1040", "CAD", "CA$1\u202f040.00"),
        ("1040", "JPY", "JP¥1\u202f040"),
        ("-0.001", "EUR", "€0.00"),
    ],
)
def test_the_sign_stands_first_and_thousands_apart(amount: str, currency: str, text: str) -> None:
    assert money_text(Decimal(amount), currency) == text


def test_another_language_keeps_its_own_marks() -> None:
    assert money_text(Decimal("1234.5"), "EUR", locale="de_DE") == "1.234,50\xa0€"


def test_a_currency_that_is_none_is_refused() -> None:
    with pytest.raises(UnknownCurrency, match="ISO 4217"):
        money_text(Decimal(1), "XQZ")


@pytest.mark.parametrize(("currency", "symbol"), [("GBP", "£"), ("CAD", "CA$"), ("CHF", "CHF")])
def test_a_currency_has_its_short_sign(currency: str, symbol: str) -> None:
    assert symbol_of(currency) == symbol
