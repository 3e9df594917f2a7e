"""Cleaning, waste tanks, rubbish and missing equipment: every parameter of their rules."""

from typing import Any

import pytest

from tests.charges.documents import due, priced, reasons

CLEANING = {
    "interior": {"standard": "60.00", "heavy": "150.00", "specialist": "400.00"},
    "exterior": {"standard": "40.00", "hour_rate": "48.00"},
    "odour": {"standard": "30.00", "heavy": "90.00"},
}
WASTE = {
    "grey_fee": "40.00",
    "grey_threshold_pct": 10,
    "toilet_fee": "90.00",
    "toilet_threshold_pct": 20,
    "rubbish_bag_fee": "8.00",
}


def cleaned(**zones: Any) -> dict[str, str]:
    return due(rules={"cleaning": CLEANING}, cleaning=zones)


def emptied(**waste: Any) -> dict[str, str]:
    return due(rules={"waste": WASTE}, waste=waste)


def test_one_tier_for_each_zone() -> None:
    answer = cleaned(interior="heavy", exterior="standard", odour="none")
    assert answer == {"CLEANING interior heavy": "150.00", "CLEANING exterior standard": "40.00"}


@pytest.mark.parametrize(("hours", "amount"), [("1.5", "72.00"), ("1.51", "84.00"), ("0", None)])
def test_quarter_hours_begun_where_a_tier_has_no_price(hours: str, amount: str | None) -> None:
    expected = {"CLEANING exterior heavy": amount} if amount else {}
    assert cleaned(exterior={"tier": "heavy", "hours": hours}) == expected


@pytest.mark.parametrize(
    ("found", "key", "reason"),
    [
        (None, "CLEANING interior", "not_read"),
        ("none", "CLEANING interior none", "level"),
    ],
)
def test_why_a_zone_is_not_charged(found: Any, key: str, reason: str) -> None:
    assert reasons(priced(rules={"cleaning": CLEANING}, cleaning={"interior": found})) == {key: reason}


@pytest.mark.parametrize("found", [{"exterior": "heavy"}, {"upholstery": "standard"}])
def test_a_tier_without_a_price(found: dict[str, str]) -> None:
    statement = priced(rules={"cleaning": CLEANING}, cleaning=found)
    assert list(reasons(statement).values()) == ["no_rule"]


@pytest.mark.parametrize(
    ("waste", "expected"),
    [
        ({"grey_pct": 10, "toilet_pct": 20}, {}),
        ({"grey_pct": 11, "toilet_pct": 20}, {"WASTE_TANK grey": "40.00"}),
        ({"grey_pct": 75, "toilet_pct": 50}, {"WASTE_TANK grey": "40.00", "TOILET toilet": "90.00"}),
        ({"toilet_pct": 0, "toilet_rinsed": False}, {"TOILET toilet": "90.00"}),
        ({"toilet_rinsed": False}, {"TOILET toilet": "90.00"}),
        ({"grey_pct": 60, "grey_out_pct": 60}, {}),
        ({"rubbish_bags": 3}, {"RUBBISH rental": "24.00"}),
        ({"fresh_pct": 0}, {}),
    ],
)
def test_tanks_each_once(waste: dict[str, Any], expected: dict[str, str]) -> None:
    assert emptied(**waste) == expected


@pytest.mark.parametrize(
    ("waste", "reason"),
    [
        ({"grey_pct": None}, {"WASTE_TANK grey": "not_read"}),
        ({"grey_pct": 60, "grey_out_pct": None}, {"WASTE_TANK grey": "no_baseline"}),
        ({"grey_pct": 60, "grey_out_pct": 70}, {"WASTE_TANK grey": "level"}),
        ({"toilet_pct": 10}, {"TOILET toilet": "within_tolerance"}),
        ({"toilet_pct": 60, "toilet_rinsed": False, "toilet_out_pct": None}, {"TOILET toilet": "no_baseline"}),
        ({"fresh_pct": 20}, {"FRESH_WATER fresh": "included"}),
    ],
)
def test_why_a_tank_is_not_charged(waste: dict[str, Any], reason: dict[str, str]) -> None:
    assert reasons(priced(rules={"waste": WASTE}, waste=waste)) == reason


def test_tanks_without_fees() -> None:
    assert due(rules={"waste": {}}, waste={"grey_pct": 60, "toilet_pct": 60, "rubbish_bags": 2}) == {}
    assert due(waste={"grey_pct": 60}) == {}


def missing(floor: str = "0", **item: Any) -> dict[str, str]:
    one = {"item": "camping chair", "price": "45.00", "qty": 2, **item}
    return due(rules={"equipment": {"floor_pct": floor}}, equipment=[one])


@pytest.mark.parametrize(
    ("item", "amount"),
    [
        ({}, "90.00"),
        ({"age_months": 30, "life_months": 60}, "45.00"),
        ({"age_months": 70, "life_months": 60}, None),
        ({"age_months": 0, "life_months": 60}, "90.00"),
        ({"age_months": 30}, "90.00"),
        ({"age_months": 30, "life_months": 60, "betterment": False}, "90.00"),
        ({"age_months": 30, "life_months": 60, "kind": "key"}, "90.00"),
        ({"repair": "20.00"}, "20.00"),
        ({"repair": "120.00"}, "90.00"),
        ({"part_price": "10.00", "set_price": "60.00", "qty": 3}, "30.00"),
        ({"part_price": "10.00", "set_price": "60.00", "qty": 7}, "60.00"),
        ({"set_price": "60.00", "price": "10.00"}, "60.00"),
        ({"set_price": "60.00", "age_months": 15, "life_months": 60}, "45.00"),
    ],
)
def test_missing_equipment(item: dict[str, Any], amount: str | None) -> None:
    assert missing(**item) == ({"EQUIPMENT camping chair": amount} if amount else {})


@pytest.mark.parametrize(("age", "amount"), [(47, "19.50"), (48, "18.00"), (49, "18.00"), (90, "18.00")])
def test_the_least_share(age: int, amount: str) -> None:
    assert missing("20", age_months=age, life_months=60) == {"EQUIPMENT camping chair": amount}


def test_labour_is_never_reduced_by_age() -> None:
    answer = missing(age_months=30, life_months=60, labour="25.00")
    assert answer == {"EQUIPMENT camping chair": "45.00", "LABOUR camping chair": "25.00"}


@pytest.mark.parametrize("with_address", [True, False])
def test_locks_are_changed_only_if_the_address_was_with_the_key(with_address: bool) -> None:
    answer = missing(kind="key", lock_change="210.00", lost_with_address=with_address)
    assert ("LOCK_CHANGE camping chair" in answer) is with_address


@pytest.mark.parametrize(("item", "reason"), [({"qty_out": None}, "no_baseline"), ({"qty": 0}, "level")])
def test_why_equipment_is_not_charged(item: dict[str, Any], reason: str) -> None:
    statement = priced(equipment=[{"item": "camping chair", "price": "45.00", **item}])
    assert (statement.lines, reasons(statement)) == ((), {"EQUIPMENT camping chair": reason})


@pytest.mark.parametrize(("days", "credit"), [(14, "-80.00"), (15, None), (None, None)])
def test_found_later_and_sent_back(days: int | None, credit: str | None) -> None:
    chairs = {"item": "camping chair", "price": "45.00", "qty": 2, "returned_after_days": days}
    rules = {"equipment": {"found_within_days": 14, "handling_fee": "10.00"}}
    assert due(rules=rules, equipment=[chairs]).get("EQUIPMENT_CREDIT camping chair") == credit


def test_found_later_is_worth_no_less_than_nothing() -> None:
    chairs = {"item": "camping chair", "price": "5.00", "returned_after_days": 1}
    rules = {"equipment": {"found_within_days": 14, "handling_fee": "10.00"}}
    assert due(rules=rules, equipment=[chairs]) == {"EQUIPMENT camping chair": "5.00"}
