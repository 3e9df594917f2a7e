"""Tax and rounding against published figures (each row with its identifier and source)."""

from decimal import Decimal

import pytest

from handover.charges import parse
from handover.charges.tax import tax_of
from shared.money import round_half_up
from tests.charges.documents import document, priced

pytestmark = [pytest.mark.reference, pytest.mark.source("Tax authorities: worked examples, by row")]

# id, rate, gross, tax contained, source
CONTAINED = [
    ("M5", "0.20", "120.00", "20.00", "HMRC, Calculating VAT"),
    ("M7", "0.05", "80.00", "3.81", "the 1/21 fraction"),
    ("M12", "0.10", "110.00", "10.00", "GST Act 1999, s 9-90(1)"),
    ("M12", "0.10", "100.00", "9.09", "GST Act 1999, s 9-90(1)"),
    ("M15", "0.15", "1725.00", "225.00", "Inland Revenue, worked example of 3/23"),
    ("M16", "0.15", "115.00", "15.00", "the 3/23 fraction"),
    ("M16", "0.15", "100.00", "13.04", "the 3/23 fraction"),
    ("M16", "0.15", "99.00", "12.91", "the 3/23 fraction"),
]

# id, rate, net, tax added, source
ADDED = [
    ("M5", "0.20", "100.00", "20.00", "HMRC, Calculating VAT"),
    ("M5", "0.05", "100.00", "5.00", "HMRC, Calculating VAT"),
    ("M15", "0.15", "1500.00", "225.00", "Inland Revenue, worked example"),
    ("M20", "0.12", "689.93", "82.79", "a worked example of the Canada Revenue Agency"),
]


def taxed(mode: str, rate: str, amount: str) -> str:
    case = parse(document(tax={"mode": mode, "rate": rate}))
    return str(tax_of(case, Decimal(amount), "standard"))


@pytest.mark.parametrize(("row", "rate", "gross", "tax", "source"), CONTAINED)
def test_tax_contained(row: str, rate: str, gross: str, tax: str, source: str) -> None:
    assert taxed("inclusive", rate, gross) == tax, (row, source)


@pytest.mark.parametrize(("row", "rate", "net", "tax", "source"), ADDED)
def test_tax_added(row: str, rate: str, net: str, tax: str, source: str) -> None:
    assert taxed("exclusive", rate, net) == tax, (row, source)


@pytest.mark.parametrize(("amount", "rounded"), [("2.345", "2.35"), ("2.355", "2.36"), ("-2.345", "-2.35")])
def test_rounding_half_up(amount: str, rounded: str) -> None:
    """M4: Python's decimal module, ROUND_HALF_UP."""
    assert str(round_half_up(Decimal(amount), 2)) == rounded


def notices(count: int, amount: str) -> list[dict[str, str]]:
    return [{"kind": "toll", "ref": f"toll {number}", "amount": amount} for number in range(count)]


@pytest.mark.parametrize(("rounding", "tax"), [("per_group", "0.02"), ("per_line", "0.03")])
def test_three_small_supplies(rounding: str, tax: str) -> None:
    """M13: three of 0.06 at 10 % contained, rounded once or by line (GST Act 1999, s 9-90(2))."""
    terms = {"rate": "0.10", "rounding": rounding, "outside_scope": []}
    assert str(priced(tax=terms, notices=notices(3, "0.06")).totals.tax) == tax


def test_tax_first_and_rounded_last() -> None:
    """M19: 1.83 and 2.86 with 5 % added are 4.92 by card (Department of Finance, Budget 2012)."""
    terms = {"mode": "exclusive", "rate": "0.05", "rounding": "per_group", "outside_scope": []}
    bought = [*notices(1, "1.83"), {"kind": "toll", "ref": "second", "amount": "2.86"}]
    assert str(priced(tax=terms, notices=bought).totals.total) == "4.92"
