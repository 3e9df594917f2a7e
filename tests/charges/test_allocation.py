"""Shares of an amount: they add up to the last minor unit, whichever way they are cut."""

from decimal import Decimal

import pytest

from handover.charges.allocation import in_order, pro_rata


def cut(amounts: str, payable: str, digits: int = 2) -> str:
    parts = [Decimal(amount) for amount in amounts.split()]
    return " ".join(str(share) for share in pro_rata(parts, Decimal(payable), digits))


@pytest.mark.parametrize(
    ("amounts", "payable", "shares"),
    [
        ("10 10 10", "20.00", "6.67 6.67 6.66"),  # two cents left over, to the first of equal fractions
        ("10 10 10", "10.00", "3.34 3.33 3.33"),
        ("1 2", "1.00", "0.33 0.67"),  # the larger fraction is the second
        ("2 1", "1.00", "0.67 0.33"),
        ("3 3 1", "1.00", "0.43 0.43 0.14"),
        ("700 200 100", "500.00", "350.00 100.00 50.00"),
        ("0 5 0", "3.00", "0.00 3.00 0.00"),
        ("731.13", "300.00", "300.00"),
        ("10 10", "0.00", "0.00 0.00"),
    ],
)
def test_shares_in_proportion(amounts: str, payable: str, shares: str) -> None:
    assert cut(amounts, payable) == shares


@pytest.mark.parametrize(
    ("digits", "payable", "shares"), [(0, "200", "67 67 66"), (3, "0.200", "0.067 0.067 0.066"), (0, "1", "1 0 0")]
)
def test_shares_in_the_currencys_own_digits(digits: int, payable: str, shares: str) -> None:
    assert cut("100 100 100", payable, digits) == shares


@pytest.mark.parametrize(
    ("payable", "shares"),
    [("250", ["100", "150"]), ("80", ["80", "0"]), ("100", ["100", "0"]), ("300", ["100", "200"])],
)
def test_shares_in_order(payable: str, shares: list[str]) -> None:
    assert [str(share) for share in in_order([Decimal(100), Decimal(200)], Decimal(payable))] == shares
