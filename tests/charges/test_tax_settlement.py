"""Tax classes and rounding, other currencies, the deposit, versions."""

from typing import Any

import pytest

from handover.charges.line import Line, UntrueError
from handover.charges.priced import Priced
from handover.charges.settlement import Totals
from handover.charges.sheet import ZERO, CoverPart
from tests.charges.documents import damaged, due, event, extra, fuel_leg, line, priced

MIXED = {
    "rules": {
        "cleaning": {"interior": {"standard": "59.99"}},
        "waste": {"grey_fee": "10.01"},
        "damage": {"excess": "500.00"},
    },
    "cleaning": {"interior": "standard"},
    "waste": {"grey_pct": 50},
    "events": [event(damaged())],
}


def test_classes_by_line_code() -> None:
    tax = {"rates": {"reduced": "0.05"}, "classes": {"WASTE_TANK": "reduced", "CLEANING": "zero"}}
    statement = priced(**MIXED, tax=tax)
    assert {one.code: (one.tax_code, str(one.tax)) for one in statement.lines} == {
        "CLEANING": ("zero", "0.00"),
        "WASTE_TANK": ("reduced", "0.48"),
        "DAMAGE": ("outside_scope", "0.00"),
    }


@pytest.mark.parametrize(
    ("mode", "rounding", "tax", "total"),
    [
        ("inclusive", "per_line", "11.67", "570.00"),
        ("inclusive", "per_group", "11.67", "570.00"),
        ("exclusive", "per_line", "14.00", "584.00"),
        ("exclusive", "per_group", "14.00", "584.00"),
    ],
)
def test_modes(mode: str, rounding: str, tax: str, total: str) -> None:
    totals = priced(**MIXED, tax={"mode": mode, "rounding": rounding}).totals
    assert (str(totals.tax), str(totals.total)) == (tax, total)


def test_damage_can_be_in_scope() -> None:
    assert line(priced(**MIXED, tax={"outside_scope": []}), "DAMAGE").tax_code == "standard"


@pytest.mark.parametrize(("code", "amount"), [("JPY", "79"), ("EUR", "78.75"), ("KWD", "78.750")])
def test_currencies_by_their_own_digits(code: str, amount: str) -> None:
    rules = {"fuel": {"price_per_litre": "2.10"}}
    assert due(currency={"code": code}, rules=rules, legs=[fuel_leg(8, 5, tank="100")]) == {"FUEL U1": amount}


def test_a_thousandth_is_rounded_half_up() -> None:
    rules = {"fuel": {"price_per_litre": "0.1115"}}
    assert due(currency={"code": "KWD"}, rules=rules, legs=[fuel_leg(8, 7, tank="8")]) == {"FUEL U1": "0.112"}


def settled(amount: str, held: str = "100.00", **parts: Any) -> dict[str, str]:
    rules = {"cleaning": {"interior": {"standard": amount}}}
    rental = {"deposit_held": held}
    return priced(rules=rules, cleaning={"interior": "standard"}, rental=rental, **parts).totals.as_document()


@pytest.mark.parametrize(
    ("amount", "captured", "released", "balance"),
    [("40.00", "40.00", "60.00", "0.00"), ("100.00", "100.00", "0.00", "0.00"), ("130.00", "100.00", "0.00", "30.00")],
)
def test_the_deposit(amount: str, captured: str, released: str, balance: str) -> None:
    totals = settled(amount)
    assert (totals["deposit_captured"], totals["deposit_released"], totals["balance_due"]) == (
        captured,
        released,
        balance,
    )


def deferred(most: str) -> dict[str, str]:
    return {"code": "DAMAGE", "ref": "roof", "max": most, "until": "2026-06-01", "awaiting": "quote"}


@pytest.mark.parametrize(("most", "kept", "released"), [("35.00", "35.00", "25.00"), ("90.00", "60.00", "0.00")])
def test_deferred_lines_keep_a_part_of_the_hold(most: str, kept: str, released: str) -> None:
    totals = settled("40.00", deferred=[deferred(most)])
    assert (totals["deposit_kept"], totals["deposit_released"]) == (kept, released)


@pytest.mark.parametrize(
    ("one", "waits"),
    [
        ({"code": "CLEANING", "ref": "interior standard"}, True),
        ({"code": "CLEANING"}, True),
        ({"code": "CLEANING", "ref": "exterior standard"}, False),
    ],
)
def test_a_line_that_waits_is_not_charged_yet(one: dict[str, str], waits: bool) -> None:
    rules = {"cleaning": {"interior": {"standard": "40.00"}}}
    waiting = {"max": "60.00", "until": "2026-06-01", "awaiting": "the wash", **one}
    statement = priced(rules=rules, cleaning={"interior": "standard"}, deferred=[waiting])
    assert (statement.lines == ()) is waits
    assert [one.sentence for one in statement.findings] == (
        ["Not charged yet: waits for the wash; at most 60.00 EUR, until 2026-06-01."] if waits else []
    )


def test_what_a_line_waits_for_may_be_unsaid() -> None:
    waiting = {"code": "CLEANING", "max": "60.00", "until": "2026-06-01"}
    rules = {"cleaning": {"interior": {"standard": "40.00"}}}
    statement = priced(rules=rules, cleaning={"interior": "standard"}, deferred=[waiting])
    assert statement.findings[0].sentence == "Not charged yet: at most 60.00 EUR, until 2026-06-01."


def test_nothing_owed_is_still_a_statement() -> None:
    totals = priced().totals.as_document()
    assert (totals["total"], totals["deposit_released"]) == ("0.00", "1500.00")


def test_a_negative_total_is_a_refund() -> None:
    late = extra(bought="2026-05-08T19:12", limits={"fuel_tanks": 1})
    totals = priced(prepaid=[late], rental={"deposit_held": "50.00"}).totals
    assert (str(totals.total), str(totals.refund_due), str(totals.deposit_released)) == ("-99.00", "99.00", "50.00")


@pytest.mark.parametrize(
    ("before", "delta", "balance", "refund"),
    [("69.00", "-29.00", "0.00", "29.00"), ("10.00", "30.00", "30.00", "0.00"), ("-20.00", "60.00", "60.00", "0.00")],
)
def test_a_reopened_settlement(before: str, delta: str, balance: str, refund: str) -> None:
    totals = settled("40.00", previous_settlement={"version": 1, "total": before})
    assert (totals["delta"], totals["balance_due"], totals["refund_due"]) == (delta, balance, refund)
    assert "deposit_held" not in totals


def made(**more: Any) -> Line:
    parts = {"raw": ZERO + 10, "covered": ZERO, "amount": ZERO + 10, "tax": None, "cover": (), **more}
    return Line(code="FUEL", ref="U1", tax_code="standard", workings=(), measure="", **parts)


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"amount": ZERO + 9}, "FUEL U1: 9 is not 10 less 0"),
        ({"covered": ZERO + 11, "amount": ZERO - 1}, "FUEL U1: cover of 11 for 10"),
        ({"covered": ZERO - 1, "amount": ZERO + 11}, "FUEL U1: cover of -1 for 10"),
        (
            {"covered": ZERO + 4, "amount": ZERO + 6, "cover": (CoverPart("tank", ZERO + 3, ""),)},
            "FUEL U1: the parts of the cover are not 4",
        ),
    ],
)
def test_a_line_that_contradicts_itself_is_refused(wrong: dict[str, Any], sentence: str) -> None:
    with pytest.raises(UntrueError) as told:
        made(**wrong)
    assert str(told.value) == sentence


def test_lines_that_do_not_sum_are_refused() -> None:
    totals = Totals(ZERO, ZERO, ZERO, ZERO, ZERO)
    with pytest.raises(UntrueError, match=r"^the lines do not sum to the total$"):
        Priced((made(),), totals, {}, (), (), "1", "EUR", 2)


def test_a_deposit_that_comes_apart_wrongly_is_refused() -> None:
    with pytest.raises(UntrueError, match=r"^the deposit of 5 came apart into 0$"):
        Totals(ZERO, ZERO, ZERO, ZERO, ZERO, deposit_held=ZERO + 5)


def test_a_statement_knows_its_currency_and_its_digits() -> None:
    statement = priced(currency={"code": "KWD"})
    assert (statement.currency, statement.exponent) == ("KWD", 3)


@pytest.mark.parametrize("rounding", ["per_line", "per_group"])
@pytest.mark.parametrize("mode", ["inclusive", "exclusive"])
def test_nothing_in_the_currencys_own_digits(mode: str, rounding: str) -> None:
    totals = priced(tax={"mode": mode, "rounding": rounding}).totals.as_document()
    assert totals == {
        "lines_sum": "0.00",
        "tax": "0.00",
        "total": "0.00",
        "deposit_held": "1500.00",
        "deposit_captured": "0.00",
        "deposit_released": "1500.00",
        "balance_due": "0.00",
        "refund_due": "0.00",
    }
