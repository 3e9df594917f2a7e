"""What is small counts all the same: less than one litre, kilogram, kilometre or euro."""

from typing import Any

import pytest

from tests.charges.documents import (
    FUEL,
    GAS,
    LATE,
    amounts,
    cylinder,
    damaged,
    due,
    event,
    extra,
    fuel_leg,
    gas_leg,
    priced,
)

CENTS = {"waste": {"rubbish_bag_fee": "0.80"}}
BAG = {"rules": CENTS, "waste": {"rubbish_bags": 1}}


def litres(left: str, back: str, unit: str = "U1") -> dict[str, Any]:
    return {"unit": unit, "fuel": {"tank_l": "90", "out_l": left, "in_l": back}}


def test_half_a_litre() -> None:
    assert due(rules={"fuel": FUEL}, legs=[litres("80.0", "79.5")]) == {"FUEL U1": "1.00"}
    assert due(rules={"fuel": {**FUEL, "surplus": "refund"}}, legs=[litres("79.5", "80.0")]) == {
        "FUEL_CREDIT U1": "-1.00"
    }


@pytest.mark.parametrize(("back", "key", "amount"), [("79.5", "FUEL", "1.00"), ("80.2", "FUEL_CREDIT", "-0.40")])
def test_half_a_litre_over_all_legs(back: str, key: str, amount: str) -> None:
    rate = {**FUEL, "swap_leg_policy": "carry_litres", "surplus": "refund"}
    legs = [litres("80.0", "80.0"), litres("80.0", back, "U2")]
    assert due(rules={"fuel": rate}, legs=legs) == {f"{key} all legs": amount}


def test_half_a_step() -> None:
    assert due(rules={"fuel": FUEL}, legs=[fuel_leg(8, "7.5")]) == {"FUEL U1": "10.00"}


def test_a_tenth_of_a_kilogram() -> None:
    rate = {**GAS, "tolerance_kg": "0"}
    assert due(rules={"gas": rate}, legs=[gas_leg(cylinder("16.5", "16.4"))]) == {"GAS A": "0.50"}


def test_what_is_left_in_a_missing_cylinder() -> None:
    assert due(rules={"gas": GAS}, legs=[gas_leg(cylinder("5.9", None, missing=True))]) == {"GAS A": "2.00"}


def test_half_a_kilometre() -> None:
    rate = {"included_per_day": "100", "tiers": [{"up_to": None, "rate": "2.00"}]}
    assert due(rules={"distance": rate}, legs=[{"unit": "U1", "agreed_distance": "700.5"}]) == {
        "DISTANCE tier 1": "1.00"
    }


def test_half_a_kilometre_within_a_tolerance() -> None:
    rate = {"included_per_day": "100", "tolerance": "1", "tiers": [{"up_to": None, "rate": "2.00"}]}
    statement = priced(rules={"distance": rate}, legs=[{"unit": "U1", "agreed_distance": "700.5"}])
    assert statement.findings[0].sentence == "0.5 km over, within the tolerance."


def test_one_minute() -> None:
    late = {**LATE, "grace_min": 0}
    assert due(rules={"late": late}, rental={"returned_at": "2026-05-10T10:01"}) == {"LATE return": "25.00"}


def test_cover_of_a_few_cents() -> None:
    rules = {"fuel": {"price_per_litre": "0.02"}}
    for limits in ({"fuel_tanks": 1}, {"fuel_litres": "40"}):
        assert due(rules=rules, legs=[fuel_leg(8, 4)], prepaid=[extra(limits=limits)]) == {"FUEL U1": "0.00"}
    litre = [extra(limits={"fuel_litres": "0.5"})]
    assert due(rules={"fuel": FUEL}, legs=[fuel_leg(8, 4)], prepaid=litre) == {"FUEL U1": "79.00"}


def test_cover_of_a_few_grams() -> None:
    grams = [extra(limits={"gas_kg": "0.1"})]
    answer = due(rules={"gas": GAS}, legs=[gas_leg(cylinder("16.5", "14.1"))], prepaid=grams)
    assert answer == {"GAS A": "11.50"}


def test_a_waiver_of_a_few_cents() -> None:
    waiver = {"code": "RUBBISH", "amount": "0.50", "reason": "weather", "approver": "manager"}
    assert due(**BAG, waivers=[waiver]) == {"RUBBISH rental": "0.80", "WAIVER rental": "-0.50"}


def test_credits_of_a_few_cents() -> None:
    refused = extra("tank", price="0.50", bought="2026-05-08T19:12", limits={"fuel_tanks": 1})
    goodwill = {"code": "GOODWILL", "ref": "heating", "amount": "0.30", "reason": "cold night", "approver": "R."}
    answer = due(prepaid=[refused], credits=[goodwill])
    assert answer == {"PREPAID_REFUND tank": "-0.50", "GOODWILL heating": "-0.30"}


def test_a_recovery_of_a_few_cents() -> None:
    for recovery in ("customer_first", "pro_rata"):
        rules = {"damage": {"recovery": recovery}}
        answer = due(rules=rules, events=[event(damaged(), recovered="0.70")])
        assert answer["RECOVERY E1"] == "-0.70"


def test_a_day_not_used_for_a_few_cents() -> None:
    rule = {"day_rate": "0.90", "refund_pct": "100"}
    answer = due(rules={"late": {**LATE, "early_return": rule}}, rental={"returned_at": "2026-05-09T10:00"})
    assert answer == {"EARLY_RETURN return": "-0.90"}


def test_a_receipt_of_a_few_cents() -> None:
    assert due(gas_receipts=[{"ref": "till", "amount": "0.60", "operator_fault": True}]) == {
        "GAS_RECEIPT till": "-0.60"
    }


def test_one_percent_in_a_tank() -> None:
    rules = {"waste": {"grey_fee": "40.00", "toilet_fee": "90.00"}}
    answer = due(rules=rules, waste={"grey_pct": 1, "toilet_pct": 1})
    assert answer == {"WASTE_TANK grey": "40.00", "TOILET toilet": "90.00"}


def test_a_total_of_a_few_cents_against_the_deposit() -> None:
    totals = priced(**BAG, rental={"deposit_held": "0.50"}).totals
    assert (str(totals.deposit_captured), str(totals.balance_due), str(totals.deposit_released)) == (
        "0.50",
        "0.30",
        "0.00",
    )


def test_a_cent_more_than_the_excess() -> None:
    statement = priced(rules={"damage": {"excess": "1.00"}}, events=[event(damaged("left", "1.01"))])
    assert amounts(statement) == {"DAMAGE left": "1.00"}
    assert str(statement.lines[0].covered) == "0.01"
