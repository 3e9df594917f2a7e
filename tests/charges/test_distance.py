"""Extra distance: every parameter of its rule."""

from typing import Any

import pytest

from tests.charges.documents import due, extra, line, priced, reasons

TIERS = [{"up_to": "300", "rate": "0.40"}, {"up_to": None, "rate": "0.25"}]


def rules(**more: Any) -> dict[str, Any]:
    return {"distance": {"unit": "km", "included_per_day": "100", "tiers": TIERS, **more}}


def leg(driven: int, unit: str = "U1", **more: Any) -> dict[str, Any]:
    return {"unit": unit, "odo_out": 1000, "odo_in": 1000 + driven, **more}


@pytest.mark.parametrize(
    ("driven", "expected"),
    [
        (700, {}),
        (800, {"DISTANCE tier 1": "40.00"}),
        (1000, {"DISTANCE tier 1": "120.00"}),
        (1100, {"DISTANCE tier 1": "120.00", "DISTANCE tier 2": "25.00"}),
    ],
)
def test_marginal_tiers(driven: int, expected: dict[str, str]) -> None:
    assert due(rules=rules(), legs=[leg(driven)]) == expected


@pytest.mark.parametrize(("driven", "expected"), [(1000, ("tier 1", "120.00")), (1100, ("tier 2", "100.00"))])
def test_whole_amount_tiers(driven: int, expected: tuple[str, str]) -> None:
    charge = line(priced(rules=rules(tier_mode="whole_amount"), legs=[leg(driven)]), "DISTANCE")
    assert (charge.ref, str(charge.amount)) == expected


def test_legs_are_summed_and_the_branchs_own_distance_is_not() -> None:
    answer = due(rules=rules(), legs=[leg(500), leg(360, "U2")], rental={"operator_distance": "60"})
    assert answer == {"DISTANCE tier 1": "40.00"}


def test_none_included() -> None:
    assert due(rules=rules(included_per_day="0"), legs=[leg(100)]) == {"DISTANCE tier 1": "40.00"}


def test_unlimited() -> None:
    assert reasons(priced(rules=rules(included_per_day=None), legs=[leg(9000)])) == {"DISTANCE rental": "included"}


@pytest.mark.parametrize(("tolerance", "reason"), [("100", "within_tolerance"), ("99", None)])
def test_tolerance_is_a_threshold(tolerance: str, reason: str | None) -> None:
    statement = priced(rules=rules(tolerance=tolerance), legs=[leg(800)])
    assert reasons(statement) == ({"DISTANCE rental": reason} if reason else {})


def test_within_what_is_included() -> None:
    assert reasons(priced(rules=rules(), legs=[leg(700)])) == {"DISTANCE rental": "within_allowance"}


@pytest.mark.parametrize(
    ("driven", "expected"),
    [
        (710, {"DISTANCE tier 1": "50.00"}),
        (1004, {"DISTANCE tier 1": "120.00", "DISTANCE tier 2": "30.00"}),
        (1300, {"DISTANCE tier 1": "120.00", "DISTANCE tier 2": "75.00"}),
    ],
)
def test_minimum_for_all_tiers_together(driven: int, expected: dict[str, str]) -> None:
    minimum = "150.00" if driven == 1004 else "50.00"
    assert due(rules=rules(min_charge=minimum), legs=[leg(driven)]) == expected


@pytest.mark.parametrize(
    ("basis", "amount"),
    [("24h", "40.00"), ("calendar_days", "0"), ("nights", "40.00")],  # 7, 8 and 7 days
)
def test_how_days_are_counted(basis: str, amount: str) -> None:
    expected = {} if amount == "0" else {"DISTANCE tier 1": amount}
    assert due(rules=rules(charged_days_basis=basis), legs=[leg(800)], rental={"charge_days": 1}) == expected


def test_days_of_an_extension_count() -> None:
    extension = {"days": 1, "day_rate": "0", "new_return_at": "2026-05-11T10:00"}
    assert due(rules=rules(), legs=[leg(800)], rental={"extension": extension}) == {}


def test_miles_on_the_dash_of_a_rate_in_kilometres() -> None:
    charge = line(priced(rules=rules(), legs=[leg(500, odo_unit="mi")]), "DISTANCE")
    assert str(charge.amount) == "41.87"  # 804.672 km


def test_kilometres_on_the_dash_of_a_rate_in_miles() -> None:
    charge = line(priced(rules=rules(unit="mi"), legs=[leg(1287, odo_unit="km")]), "DISTANCE")
    assert str(charge.amount) == "39.88"  # 799.705 mi


@pytest.mark.parametrize("unread", [{"odo_out": 5, "odo_in": None}, {"odo_out": None, "odo_in": 5}])
def test_an_odometer_not_read_is_no_charge(unread: dict[str, Any]) -> None:
    statement = priced(rules=rules(), legs=[leg(9000), {"unit": "U2", **unread}])
    assert (statement.lines, reasons(statement)) == ((), {"DISTANCE rental": "no_baseline"})


def test_an_agreed_distance_stands_for_an_odometer() -> None:
    broken = {"unit": "U2", "odo_out": 5, "agreed_distance": "300"}
    assert due(rules=rules(), legs=[leg(500), broken]) == {"DISTANCE tier 1": "40.00"}


def test_no_odometers_at_all() -> None:
    assert priced(rules=rules()).findings == ()


def test_days_by_themselves() -> None:
    days = leg(700, daily_distance=["150", "50", "100", "250", "50", "50", "50"])
    assert due(rules=rules(pooled=False), legs=[days]) == {"DISTANCE tier 1": "80.00"}


def test_without_daily_readings_days_are_pooled() -> None:
    assert due(rules=rules(pooled=False), legs=[leg(700)]) == {}


@pytest.mark.parametrize(("limits", "amount"), [({"distance_km": "60"}, "16.00"), ({"distance_mi": "50"}, "7.81")])
def test_packs_add_to_the_allowance(limits: dict[str, str], amount: str) -> None:
    answer = due(rules=rules(), legs=[leg(800)], prepaid=[extra(limits=limits)])
    assert answer == {"DISTANCE tier 1": amount}


def test_a_pack_of_kilometres_for_a_rate_in_miles() -> None:
    answer = due(rules=rules(unit="mi"), legs=[leg(800)], prepaid=[extra(limits={"distance_km": "80.4672"})])
    assert answer == {"DISTANCE tier 1": "20.00"}


def test_a_tier_worth_nothing_is_no_line() -> None:
    free = [{"up_to": "300", "rate": "0"}, {"up_to": None, "rate": "0.25"}]
    assert due(rules=rules(tiers=free), legs=[leg(1100)]) == {"DISTANCE tier 2": "25.00"}


@pytest.mark.parametrize(("pooled", "days"), [(True, ["500", "300"]), (True, []), (False, [])])
def test_days_are_pooled_where_that_is_agreed_or_no_day_is_known(pooled: bool, days: list[str]) -> None:
    driven = {"unit": "U1", "agreed_distance": "800", "daily_distance": days}
    rate = {"included_per_day": "100", "pooled": pooled, "tiers": [{"up_to": None, "rate": "1.00"}]}
    assert due(rules={"distance": rate}, legs=[driven]) == {"DISTANCE tier 1": "100.00"}
