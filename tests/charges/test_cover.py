"""Prepaid extras: what each limit pays, and when an extra stands."""

from typing import Any

import pytest

from tests.charges.documents import (
    FUEL,
    GAS,
    LATE,
    cylinder,
    due,
    extra,
    fuel_leg,
    gas_leg,
    line,
    priced,
    reasons,
)

FUELED = {"fuel": {**FUEL, "service_fee": "25.00"}}
TWO_LEGS = [fuel_leg(8, 6), fuel_leg(8, 4, unit="U2")]  # 40.00 and 80.00
GASSED = {"gas": {**GAS, "service_fee": "10.00"}}
TWO_CYLINDERS = [gas_leg(cylinder("16.5", "14.1"), cylinder("16.5", "12.5", name="B"))]  # 12.00 and 20.00


def settled(extras: list[dict[str, Any]], **order: str) -> dict[str, str]:
    fuel = {**FUELED["fuel"], "swap_leg_policy": "settle_each_leg"}
    return due(rules={"fuel": fuel, "prepaid": order}, legs=TWO_LEGS, prepaid=extras)


def test_the_dearest_tank_first() -> None:
    answer = settled([extra(limits={"fuel_tanks": 1})])
    assert list(answer.values()) == ["40.00", "25.00", "0.00", "0.00"]


def test_tanks_in_time_order() -> None:
    answer = settled([extra(limits={"fuel_tanks": 1})], fuel_tanks_order="in_time_order")
    assert list(answer.values()) == ["0.00", "0.00", "80.00", "25.00"]


@pytest.mark.parametrize(
    ("litres", "left"),
    [
        ("10", ["40.00", "25.00", "60.00", "25.00"]),
        ("40", ["40.00", "25.00", "0.00", "0.00"]),
        ("50", ["20.00", "25.00", "0.00", "0.00"]),
        ("60", ["0.00", "0.00", "0.00", "0.00"]),
    ],
)
def test_litres_at_the_same_price_and_the_fee_when_all_are_paid(litres: str, left: list[str]) -> None:
    assert list(settled([extra(limits={"fuel_litres": litres})]).values()) == left


def test_two_extras_of_litres_add_up_to_the_whole() -> None:
    extras = [extra("a", limits={"fuel_litres": "15"}), extra("b", limits={"fuel_litres": "5"})]
    statement = priced(rules=FUELED, legs=[fuel_leg(8, 6)], prepaid=extras)
    assert [str(one.amount) for one in statement.lines] == ["0.00", "0.00"]
    assert [(part.name, str(part.amount)) for part in line(statement, "FUEL").cover] == [("a", "30.00"), ("b", "10.00")]


def test_a_fee_once_per_rental_goes_with_the_first_tank() -> None:
    fuel = {**FUELED["fuel"], "swap_leg_policy": "settle_each_leg", "service_fee_per": "rental"}
    answer = due(rules={"fuel": fuel}, legs=TWO_LEGS, prepaid=[extra(limits={"fuel_tanks": 1})])
    assert answer == {"FUEL U1": "40.00", "FUEL U2": "0.00", "FUEL_SERVICE rental": "0.00"}


def test_all_litres_pay_the_minimum_too() -> None:
    rules = {"fuel": {**FUEL, "min_charge": "60.00"}}
    assert due(rules=rules, legs=[fuel_leg(8, 6)], prepaid=[extra(limits={"fuel_litres": "20"})]) == {"FUEL U1": "0.00"}


@pytest.mark.parametrize(
    ("limits", "more", "left"),
    [
        ({"gas_cylinders": 1}, {}, ["0.00", "20.00", "10.00"]),
        ({"gas_cylinders": 1}, {"fee_waiver": "any"}, ["0.00", "20.00", "0.00"]),
        ({"gas_cylinders": 2}, {}, ["0.00", "0.00", "0.00"]),
        ({"gas_kg": "2"}, {}, ["2.00", "20.00", "10.00"]),
        ({"gas_kg": "3.4"}, {}, ["0.00", "15.00", "10.00"]),
        ({"gas_kg": "9"}, {}, ["0.00", "0.00", "0.00"]),
    ],
)
def test_gas_in_listed_order(limits: dict[str, Any], more: dict[str, str], left: list[str]) -> None:
    answer = due(rules=GASSED, legs=TWO_CYLINDERS, prepaid=[extra(limits=limits, **more)])
    assert list(answer.values()) == left


def test_kilograms_of_two_extras() -> None:
    extras = [extra("a", limits={"gas_kg": "2"}), extra("b", limits={"gas_kg": "1"})]
    answer = due(rules=GASSED, legs=TWO_CYLINDERS, prepaid=extras)
    assert list(answer.values()) == ["0.00", "17.00", "10.00"]


def test_kilograms_of_a_refill_by_weight() -> None:
    rules = {"gas": {"policy": "by_cylinder", "refill_price": "32.00", "refill_threshold_pct": "90"}}
    answer = due(rules=rules, legs=[gas_leg(cylinder("16.5", "12.5"))], prepaid=[extra(limits={"gas_kg": "1"})])
    assert answer == {"GAS A": "24.00"}


def test_a_missing_cylinder_is_never_prepaid() -> None:
    rules = {"gas": {**GAS, "cylinder_price": "95.00"}}
    legs = [gas_leg(cylinder("16.5", None, missing=True))]
    answer = due(rules=rules, legs=legs, prepaid=[extra(limits={"gas_cylinders": 2})])
    assert answer == {"GAS A": "0.00", "CYLINDER A": "95.00"}


@pytest.mark.parametrize(
    ("limits", "amount"),
    [
        ({"late_blocks": 1}, "50.00"),
        ({"late_minutes": 60}, "50.00"),
        ({"late_minutes": 61}, "25.00"),
        ({"late_blocks": 9}, "0.00"),
        ({"after_hours": True}, "75.00"),
    ],
)
def test_late_blocks(limits: dict[str, Any], amount: str) -> None:
    late = {"returned_at": "2026-05-10T12:10"}
    assert due(rules={"late": LATE}, rental=late, prepaid=[extra(limits=limits)]) == {"LATE return": amount}


def test_after_hours_permission_is_not_for_lateness() -> None:
    hours = {day: ["08:30", "17:00"] for day in ("sat", "sun", "mon")}
    late = {**LATE, "opening_hours": hours, "after_hours_fee": "45.00"}
    times = {"returned_at": "2026-05-10T18:00", "return_method": "key_drop"}
    answer = due(rules={"late": late}, rental=times, prepaid=[extra(limits={"after_hours": True})])
    assert answer == {"LATE return": "140.00", "AFTER_HOURS key drop": "0.00"}


@pytest.mark.parametrize(
    ("limits", "left"), [({"grey": True}, ["0.00", "90.00"]), ({"toilet": True}, ["40.00", "0.00"])]
)
def test_waste(limits: dict[str, bool], left: list[str]) -> None:
    rules = {"waste": {"grey_fee": "40.00", "toilet_fee": "90.00"}}
    answer = due(rules=rules, waste={"grey_pct": 50, "toilet_pct": 50}, prepaid=[extra(limits=limits)])
    assert list(answer.values()) == left


def test_only_the_kits_that_are_named() -> None:
    rules = {"kits": {name: {"kit_price": "39.00"} for name in ("first_aid", "extinguisher")}}
    kits = [{"kit": name, "seal_intact": False} for name in ("first_aid", "extinguisher")]
    answer = due(rules=rules, kits=kits, prepaid=[extra(limits={"kits": ["first_aid"]})])
    assert answer == {"SAFETY_KIT first_aid": "0.00", "SAFETY_KIT extinguisher": "39.00"}


ZONE = {"interior": {"standard": "60.00", "heavy": "150.00", "specialist": "400.00"}}


@pytest.mark.parametrize(
    ("up_to", "found", "more", "amount"),
    [
        ("standard", "standard", {}, "0.00"),
        ("heavy", "standard", {}, "0.00"),
        ("standard", "heavy", {}, "90.00"),
        ("specialist", {"tier": "specialist", "cause": "smoke"}, {}, "250.00"),
        ("specialist", {"tier": "specialist", "cause": "smoke"}, {"cleaning_causes": ["smoke"]}, "0.00"),
    ],
)
def test_cleaning_up_to_a_tier(up_to: str, found: Any, more: dict[str, Any], amount: str) -> None:
    bought = extra(cleaning_up_to={"interior": up_to}, **more)
    answer = due(rules={"cleaning": ZONE}, cleaning={"interior": found}, prepaid=[bought])
    assert list(answer.values()) == [amount]


def test_cleaning_of_another_zone_is_not_covered() -> None:
    bought = extra(cleaning_up_to={"exterior": "heavy"})
    assert due(rules={"cleaning": ZONE}, cleaning={"interior": "heavy"}, prepaid=[bought]) == {
        "CLEANING interior heavy": "150.00"
    }


def test_a_covered_tier_without_a_price_pays_nothing() -> None:
    rules = {"cleaning": {"interior": {"heavy": "150.00"}}}
    bought = extra(cleaning_up_to={"interior": "standard"})
    answer = due(rules=rules, cleaning={"interior": "heavy"}, prepaid=[bought])
    assert answer == {"CLEANING interior heavy": "150.00"}


def test_the_more_specific_extra_pays_first() -> None:
    bundle = extra("bundle", limits={"fuel_tanks": 1, "gas_cylinders": 2})
    tank = extra("tank", limits={"fuel_tanks": 1})
    statement = priced(rules=FUELED, legs=[fuel_leg(8, 6)], prepaid=[bundle, tank])
    assert [part.name for part in line(statement, "FUEL").cover] == ["tank"]


@pytest.mark.parametrize(
    ("bought", "amount"),
    [
        ("2026-05-03T14:00", "0.00"),  # equal counts
        ("2026-05-03T14:01", "40.00"),
        ("2026-05-03T13:30+01:00", "40.00"),  # 14:30 in Berlin
        ("2026-05-03T12:00Z", "0.00"),
        (None, "0.00"),
    ],
)
def test_bought_by_the_pickup_signature(bought: Any, amount: str) -> None:
    tank = {"name": "tank", "purchased_at": bought, "limits": {"fuel_tanks": 1}}
    assert due(rules={"fuel": FUEL}, legs=[fuel_leg(8, 6)], prepaid=[tank])["FUEL U1"] == amount


LATER = "2026-05-08T19:12"


def test_bought_later_is_rejected_and_refunded() -> None:
    statement = priced(
        rules={"fuel": FUEL}, legs=[fuel_leg(8, 6)], prepaid=[extra("tank", bought=LATER, limits={"fuel_tanks": 1})]
    )
    assert [f"{one.code} {one.ref} {one.amount}" for one in statement.lines] == [
        "FUEL U1 40.00",
        "PREPAID_REFUND tank -99.00",
    ]
    assert reasons(statement)["PREPAID_REFUND tank"] == "not_applicable"


def test_bought_later_without_a_price_is_only_rejected() -> None:
    bought = {"name": "tank", "purchased_at": LATER, "limits": {"fuel_tanks": 1}}
    assert due(rules={"fuel": FUEL}, legs=[fuel_leg(8, 6)], prepaid=[bought]) == {"FUEL U1": "40.00"}


@pytest.mark.parametrize("by", ["extra", "rate card"])
def test_from_now_never_for_fuel(by: str) -> None:
    own = {"late_purchase": "from_now"} if by == "extra" else {}
    rules = {**FUELED, **GASSED, "prepaid": {} if own else {"late_purchase": "from_now"}}
    legs = [{**fuel_leg(8, 6), **TWO_CYLINDERS[0]}]
    bundle = extra(bought=LATER, limits={"fuel_tanks": 1, "gas_cylinders": 2}, **own)
    answer = due(rules=rules, legs=legs, prepaid=[bundle])
    assert list(answer.values()) == ["40.00", "25.00", "0.00", "0.00", "0.00"]


def test_fuel_alone_from_now_is_refunded() -> None:
    bought = extra("tank", bought=LATER, limits={"fuel_tanks": 1}, late_purchase="from_now")
    assert due(rules={"fuel": FUEL}, legs=[fuel_leg(8, 6)], prepaid=[bought])["PREPAID_REFUND tank"] == "-99.00"


@pytest.mark.parametrize(("leg", "refund"), [(fuel_leg(8, 8), "-99.00"), (fuel_leg(8, 6), None)])
def test_unused_by_the_operators_fault(leg: dict[str, Any], refund: str | None) -> None:
    tank = extra("tank", limits={"fuel_tanks": 1}, unused_by_operator=True)
    assert due(rules={"fuel": FUEL}, legs=[leg], prepaid=[tank]).get("PREPAID_REFUND tank") == refund


def test_unused_is_not_refunded() -> None:
    assert due(rules={"fuel": FUEL}, legs=[fuel_leg(8, 8)], prepaid=[extra(limits={"fuel_tanks": 1})]) == {}


def test_the_dearest_tank_is_the_dearest_with_its_fee() -> None:
    fuel = {**FUEL, "service_fee": "25.00", "service_fee_on_operator_swap": False, "swap_leg_policy": "settle_each_leg"}
    legs = [fuel_leg(8, 4), fuel_leg(8, 4, tank="70", unit="U2")]  # 80.00 alone, 70.00 with its fee
    answer = due(rules={"fuel": fuel}, legs=legs, prepaid=[extra(limits={"fuel_tanks": 1})])
    assert answer == {"FUEL U1": "80.00", "FUEL U2": "0.00", "FUEL_SERVICE U2": "0.00"}


@pytest.mark.parametrize(("limit", "unit", "code"), [("fuel_litres", "L", "FUEL"), ("gas_kg", "kg", "GAS")])
def test_each_extra_pays_on_from_where_the_one_before_it_stopped(limit: str, unit: str, code: str) -> None:
    leg = {**fuel_leg(8, "7.9"), "gas": [cylinder("16.5", "15.5")]}  # 1 L and 1 kg
    several = [extra(name, limits={limit: amount}) for name, amount in (("a", "0.2"), ("b", "0.3"), ("c", "9"))]
    paid = line(priced(rules={"fuel": FUEL, "gas": GAS}, legs=[leg], prepaid=several), code).cover
    assert [part.label.split(" ×")[0] for part in paid] == [f"a: 0.2 {unit}", f"b: 0.3 {unit}", f"c: all 0.5 {unit}"]


def test_cleaning_by_the_hour_is_covered_up_to_its_own_tier() -> None:
    rules = {"cleaning": {"exterior": {"hour_rate": "48.00"}}}
    found = {"exterior": {"tier": "standard", "hours": "1"}}
    for up_to, amount in (("standard", "0.00"), ("heavy", "0.00")):
        prepaid = [extra(cleaning_up_to={"exterior": up_to})]
        assert due(rules=rules, cleaning=found, prepaid=prepaid) == {"CLEANING exterior standard": amount}
