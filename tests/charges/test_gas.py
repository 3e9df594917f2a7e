"""Gas: every parameter of its rule."""

from typing import Any

import pytest

from tests.charges.documents import GAS, cylinder, due, gas_leg, priced, reasons

BY_CYLINDER = {"policy": "by_cylinder", "refill_price": "32.50", "refill_threshold_pct": "90"}


def gas(**more: Any) -> dict[str, Any]:
    return {"gas": {**GAS, **more}}


def test_kilograms_used_and_one_fee() -> None:
    legs = [gas_leg(cylinder("16.5", "14.1"), cylinder("16.5", "15.5", name="B"))]
    answer = due(rules=gas(service_fee="10.00"), legs=legs)
    assert answer == {"GAS A": "12.00", "GAS B": "5.00", "GAS_SERVICE rental": "10.00"}


@pytest.mark.parametrize(
    ("out", "back", "reason"),
    [
        (None, "14.1", "no_baseline"),
        ("16.5", None, "not_read"),
        ("16.5", "16.3", "within_tolerance"),
        ("16.5", "16.5", "level"),
        ("14.0", "16.5", "surplus"),
    ],
)
def test_why_there_is_no_charge(out: Any, back: Any, reason: str) -> None:
    statement = priced(rules=gas(service_fee="10.00"), legs=[gas_leg(cylinder(out, back))])
    assert (statement.lines, reasons(statement)) == ((), {"GAS A": reason})


def test_no_rule_no_charge() -> None:
    assert reasons(priced(legs=[gas_leg(cylinder("16.5", "14.1"))])) == {"GAS A": "no_rule"}


def test_deductible_tolerance() -> None:
    assert due(rules=gas(tolerance_mode="deductible"), legs=[gas_leg(cylinder("16.5", "14.1"))]) == {"GAS A": "11.00"}


def scaled(out: str, back: str) -> dict[str, Any]:
    return cylinder(out, back, half_width_out_kg="0.1", half_width_in_kg="0.1")


def test_the_scales_doubt_is_the_customers() -> None:
    rules = gas(tolerance_mode="instrument", tolerance_kg="0")
    assert due(rules=rules, legs=[gas_leg(scaled("16.5", "14.1"))]) == {"GAS A": "11.00"}
    statement = priced(rules=rules, legs=[gas_leg(scaled("16.5", "16.3"))])
    assert reasons(statement) == {"GAS A": "gauge_cannot_tell"}


def test_another_cylinder_by_its_own_tare() -> None:
    swapped = cylinder("16.5", "13.0", serial_out="S1", serial_in="S2", tare_in_kg="6.0")
    assert due(rules=gas(), legs=[gas_leg(swapped)]) == {"GAS A": "20.00"}  # 11.0 - 7.0 kg


def test_another_cylinder_without_its_tare() -> None:
    swapped = cylinder("16.5", "13.0", serial_out="S1", serial_in="S2")
    assert reasons(priced(rules=gas(), legs=[gas_leg(swapped)])) == {"GAS A": "not_read"}


def test_a_missing_cylinder_and_its_content() -> None:
    gone = cylinder("16.5", None, missing=True)
    answer = due(rules=gas(cylinder_price="95.00"), legs=[gas_leg(gone)])
    assert answer == {"GAS A": "55.00", "CYLINDER A": "95.00"}


def test_a_missing_cylinder_never_weighed() -> None:
    gone = cylinder(None, None, missing=True)
    statement = priced(rules=gas(cylinder_price="95.00"), legs=[gas_leg(gone)])
    assert [one.code for one in statement.lines] == ["CYLINDER"]
    assert reasons(statement) == {"GAS A": "no_baseline"}


@pytest.mark.parametrize(("gross", "tare", "reason"), [("5.5", "5.5", "level"), ("16.5", None, "no_baseline")])
def test_a_missing_cylinder_without_content(gross: str, tare: str | None, reason: str) -> None:
    gone = {**cylinder(gross, None, missing=True), "tare_kg": tare}
    assert reasons(priced(rules=gas(), legs=[gas_leg(gone)])) == {"GAS A": reason}


def test_a_foreign_cylinder_is_missing_with_a_credit() -> None:
    foreign = cylinder("16.5", "12.0", foreign_cylinder=True)
    rules = gas(cylinder_price="95.00", foreign_credit="30.00")
    answer = due(rules=rules, legs=[gas_leg(foreign, cylinder("16.5", "16.5", name="B"))])
    assert answer == {"GAS A": "55.00", "CYLINDER A": "95.00", "CYLINDER_CREDIT A": "-30.00"}


def test_no_credit_for_a_foreign_cylinder_by_default() -> None:
    foreign = cylinder("16.5", None, foreign_cylinder=True)
    assert "CYLINDER_CREDIT A" not in due(rules=gas(cylinder_price="95.00"), legs=[gas_leg(foreign)])


@pytest.mark.parametrize(
    ("out", "back", "expected"),
    [
        ("16.5", "15.3", {"GAS A": "32.50"}),  # 89.09 % left
        ("16.5", "15.4", {}),  # 90 % left: not below
        ("15.3", "9.0", {}),  # left below the threshold: no full cylinder
    ],
)
def test_one_refill_below_the_threshold(out: str, back: str, expected: dict[str, str]) -> None:
    assert due(rules={"gas": BY_CYLINDER}, legs=[gas_leg(cylinder(out, back))]) == expected


def test_content_unknown_without_net_mass() -> None:
    bare = {**cylinder("16.5", "9.0"), "net_kg": None}
    assert reasons(priced(rules={"gas": BY_CYLINDER}, legs=[gas_leg(bare)])) == {"GAS A": "not_read"}


def test_the_scales_doubt_at_the_threshold() -> None:
    rules = {"gas": {**BY_CYLINDER, "tolerance_mode": "instrument"}}
    assert due(rules=rules, legs=[gas_leg(scaled("16.5", "15.3"))]) == {}
    assert due(rules=rules, legs=[gas_leg(scaled("16.5", "15.2"))]) == {"GAS A": "32.50"}


def test_a_missing_cylinder_is_one_refill_too() -> None:
    rules = {"gas": {**BY_CYLINDER, "cylinder_price": "95.00", "service_fee": "10.00"}}
    answer = due(rules=rules, legs=[gas_leg(cylinder("16.5", None, missing=True))])
    assert answer == {"GAS A": "32.50", "CYLINDER A": "95.00", "GAS_SERVICE rental": "10.00"}


def test_a_swap_for_any_use() -> None:
    rules = {"gas": {"policy": "swap", "refill_price": "32.50", "tolerance_kg": "0.2"}}
    legs = [gas_leg(cylinder("16.5", "16.0"), cylinder("16.5", "16.4", name="B"))]
    assert due(rules=rules, legs=legs) == {"GAS A": "32.50"}


def test_included_gas_but_not_the_cylinder() -> None:
    rules = {"gas": {"policy": "included", "cylinder_price": "95.00"}}
    legs = [gas_leg(cylinder("16.5", "9.0"), cylinder("16.5", None, name="B", missing=True))]
    statement = priced(rules=rules, legs=legs)
    assert [f"{one.code} {one.ref}" for one in statement.lines] == ["CYLINDER B"]
    assert reasons(statement) == {"GAS A": "included", "GAS B": "included"}


@pytest.mark.parametrize(
    ("per", "price", "amount"), [("rental", "40.00", "40.00"), ("night", "4.00", "28.00"), ("rental", "0", None)]
)
def test_flat_use(per: str, price: str, amount: str | None) -> None:
    rules = {"gas": {"flat_use": {"price": price, "per": per}}}
    expected = {"GAS rental": amount} if amount else {}
    assert due(rules=rules, legs=[gas_leg(cylinder("16.5", "9.0"))]) == expected


def test_flat_use_and_a_missing_cylinder() -> None:
    rules = {"gas": {"flat_use": {"price": "40.00"}, "cylinder_price": "95.00"}}
    legs = [gas_leg(cylinder("16.5", None, missing=True))]
    assert due(rules=rules, legs=legs) == {"GAS rental": "40.00", "CYLINDER A": "95.00"}


def receipt(**more: Any) -> dict[str, Any]:
    return {"ref": "receipt 1", "amount": "38.90", **more}


@pytest.mark.parametrize(
    ("rule", "told", "credit"),
    [
        ("operator_fault", {"reimbursable": True}, "-38.90"),
        ("operator_fault", {}, None),
        ("operator_fault", {"operator_fault": True}, "-38.90"),
        ("all", {}, "-38.90"),
        ("all", {"reimbursable": False}, None),
        ("none", {"reimbursable": True}, None),
    ],
)
def test_receipts(rule: str, told: dict[str, Any], credit: str | None) -> None:
    statement = priced(rules=gas(receipts=rule), gas_receipts=[receipt(**told)])
    assert [str(one.amount) for one in statement.lines] == ([credit] if credit else [])
    assert ("GAS_RECEIPT receipt 1" in reasons(statement)) is (credit is None)


def test_receipts_without_any_gas_rule() -> None:
    assert due(gas_receipts=[receipt(reimbursable=True)]) == {"GAS_RECEIPT receipt 1": "-38.90"}


def test_receipts_up_to_their_limit() -> None:
    two = [receipt(), receipt(ref="receipt 2"), receipt(ref="receipt 3")]
    answer = due(rules=gas(receipts="all", receipts_limit="50.00"), gas_receipts=two)
    assert answer == {"GAS_RECEIPT receipt 1": "-38.90", "GAS_RECEIPT receipt 2": "-11.10"}


@pytest.mark.parametrize(
    ("told", "credit"),
    [
        ({"card_amount": "4.10"}, "-4.10"),
        ({"rate": "0.1045"}, "-4.07"),
        ({"rate": "0.1", "card_amount": "4.1"}, "-4.10"),
    ],
)
def test_a_receipt_in_another_currency(told: dict[str, Any], credit: str) -> None:
    bought = receipt(reimbursable=True, currency="NOK", **told)
    assert due(rules=gas(), gas_receipts=[bought]) == {"GAS_RECEIPT receipt 1": credit}
