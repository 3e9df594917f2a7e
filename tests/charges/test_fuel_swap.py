"""Fuel over a swap of units."""

from typing import Any

import pytest

from tests.charges.documents import FUEL, due, fuel_leg, priced, reasons


def rules(policy: str | None, **more: Any) -> dict[str, Any]:
    return {"fuel": {**FUEL, "service_fee": "25.00", **({"swap_leg_policy": policy} if policy else {}), **more}}


def legs(cause: str = "operator") -> list[dict[str, Any]]:
    return [{**fuel_leg(8, 4), "swap_cause": cause}, fuel_leg(8, 6, tank="40", unit="U2")]  # 40 L and 10 L short


def test_each_leg_by_its_own_tank() -> None:
    answer = due(rules=rules("settle_each_leg"), legs=legs())
    assert answer == {
        "FUEL U1": "80.00",
        "FUEL_SERVICE U1": "25.00",
        "FUEL U2": "20.00",
        "FUEL_SERVICE U2": "25.00",
    }


def test_fee_once_per_rental() -> None:
    answer = due(rules=rules("settle_each_leg", service_fee_per="rental"), legs=legs())
    assert answer == {"FUEL U1": "80.00", "FUEL U2": "20.00", "FUEL_SERVICE rental": "25.00"}


def test_no_fee_for_the_leg_the_operator_ended() -> None:
    answer = due(rules=rules("settle_each_leg", service_fee_on_operator_swap=False), legs=legs())
    assert list(answer) == ["FUEL U1", "FUEL U2", "FUEL_SERVICE U2"]


def test_fee_for_the_leg_the_customer_ended() -> None:
    answer = due(rules=rules("settle_each_leg", service_fee_on_operator_swap=False), legs=legs("customer"))
    assert "FUEL_SERVICE U1" in answer


def test_litres_carried_with_one_fee() -> None:
    answer = due(rules=rules("carry_litres"), legs=legs())
    assert answer == {"FUEL all legs": "100.00", "FUEL_SERVICE all legs": "25.00"}


def test_the_failed_leg_waived() -> None:
    statement = priced(rules=rules("waive_failed_leg"), legs=legs())
    assert [one.ref for one in statement.lines] == ["U2", "U2"]
    assert reasons(statement) == {"FUEL U1": "operator_caused"}


def test_a_leg_the_customer_ended_is_not_waived() -> None:
    assert "FUEL U1" in due(rules=rules("waive_failed_leg"), legs=legs("customer"))


@pytest.mark.parametrize(("cause", "first"), [("operator", "FUEL all legs"), ("customer", "FUEL U1")])
def test_where_nothing_is_agreed_the_cause_decides(cause: str, first: str) -> None:
    assert next(iter(due(rules=rules(None), legs=legs(cause)))) == first


def test_one_leg_is_never_carried() -> None:
    assert due(rules=rules("carry_litres"), legs=[fuel_leg(8, 4)]) == {"FUEL U1": "80.00", "FUEL_SERVICE U1": "25.00"}


@pytest.mark.parametrize(
    ("back", "reason"),
    [(4, "level"), (6, "surplus")],
)
def test_carried_to_nothing_short(back: int, reason: str) -> None:
    both = [fuel_leg(8, 4), fuel_leg(0, back, unit="U2")]
    statement = priced(rules=rules("carry_litres"), legs=both)
    assert (statement.lines, reasons(statement)) == ((), {"FUEL all legs": reason})


def test_a_carried_surplus_is_refunded_once() -> None:
    both = [fuel_leg(8, 4), fuel_leg(0, 6, unit="U2")]
    assert due(rules=rules("carry_litres", surplus="refund"), legs=both) == {"FUEL_CREDIT all legs": "-40.00"}


@pytest.mark.parametrize(("mode", "amount"), [("threshold", "80.00"), ("deductible", "40.00"), ("instrument", "40.00")])
def test_tolerances_add_up_when_carried(mode: str, amount: str) -> None:
    both = [fuel_leg(8, 6), fuel_leg(8, 6, unit="U2")]  # 40 L short; 1 step of each is 20 L
    answer = due(rules=rules("carry_litres", tolerance_mode=mode, tolerance_steps=1), legs=both)
    assert answer["FUEL all legs"] == amount


def test_carried_within_what_the_gauges_can_tell() -> None:
    both = [fuel_leg(8, 7), fuel_leg(8, 7, unit="U2")]
    statement = priced(rules=rules("carry_litres", tolerance_mode="instrument"), legs=both)
    assert reasons(statement) == {"FUEL all legs": "gauge_cannot_tell"}
    statement = priced(rules=rules("carry_litres", tolerance_steps=1), legs=both)
    assert reasons(statement) == {"FUEL all legs": "within_tolerance"}


def test_an_unread_leg_stays_out_of_the_balance() -> None:
    both = [fuel_leg(None, 4), fuel_leg(8, 6, unit="U2")]
    statement = priced(rules=rules("carry_litres"), legs=both)
    assert str(statement.lines[0].amount) == "40.00"
    assert reasons(statement) == {"FUEL U1": "no_baseline"}


def test_no_leg_read_is_no_balance() -> None:
    both = [fuel_leg(None, 4), fuel_leg(None, 6, unit="U2")]
    assert reasons(priced(rules=rules("carry_litres"), legs=both)) == {
        "FUEL U1": "no_baseline",
        "FUEL U2": "no_baseline",
    }


def test_litres_of_the_pump_are_carried_too() -> None:
    both = [fuel_leg(8, 4), fuel_leg(8, None, unit="U2", pump_litres="15")]
    assert due(rules=rules("carry_litres", measure="pump"), legs=both)["FUEL all legs"] == "110.00"


def test_wrong_fuel_in_one_unit_leaves_the_other() -> None:
    both = [fuel_leg(8, 4, wrong_fuel=True), fuel_leg(8, 4, unit="U2")]
    assert due(rules=rules("settle_each_leg"), legs=both) == {"FUEL U2": "80.00", "FUEL_SERVICE U2": "25.00"}


def test_of_three_legs_all_but_the_last_are_waived() -> None:
    three = [fuel_leg(8, 4), fuel_leg(8, 6, unit="U2"), fuel_leg(8, 7, unit="U3")]
    statement = priced(rules=rules("waive_failed_leg"), legs=three)
    assert [line.ref for line in statement.lines if line.code == "FUEL"] == ["U3"]
    assert reasons(statement) == {"FUEL U1": "operator_caused", "FUEL U2": "operator_caused"}
