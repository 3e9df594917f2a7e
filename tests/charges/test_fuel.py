"""Fuel: every parameter of its rule."""

from typing import Any

import pytest

from tests.charges.documents import FUEL, damaged, due, event, extra, finding, fuel_leg, line, priced, reasons

HALF_TANK = [fuel_leg(8, 4)]  # 40 L short


def fuel(**more: Any) -> dict[str, Any]:
    return {"fuel": {**FUEL, **more}}


def test_litres_short_at_the_price() -> None:
    assert due(rules=fuel(), legs=HALF_TANK) == {"FUEL U1": "80.00"}


def test_a_gauge_read_between_steps() -> None:
    assert due(rules=fuel(), legs=[fuel_leg("6.5", 6)]) == {"FUEL U1": "10.00"}


@pytest.mark.parametrize(("target", "amount"), [("out_level", "20.00"), ("full", "40.00")])
def test_handed_over_below_full(target: str, amount: str) -> None:
    rules = fuel(policy="full_to_full", target_when_out_below_full=target)
    assert due(rules=rules, legs=[fuel_leg(7, 6)]) == {"FUEL U1": amount}


def test_full_of_a_tank_read_in_litres() -> None:
    leg = {"unit": "U1", "fuel": {"tank_l": "90", "out_l": "80", "in_l": "70"}}
    rules = fuel(policy="full_to_full", target_when_out_below_full="full")
    assert due(rules=rules, legs=[leg]) == {"FUEL U1": "40.00"}


@pytest.mark.parametrize(
    ("mode", "steps", "amount"), [("threshold", 1, "40.00"), ("deductible", 1, "20.00"), ("threshold", 2, None)]
)
def test_tolerance(mode: str, steps: int, amount: str | None) -> None:
    statement = priced(rules=fuel(tolerance_mode=mode, tolerance_steps=steps), legs=[fuel_leg(8, 6)])
    assert [str(one.amount) for one in statement.lines] == ([amount] if amount else [])


def test_at_the_tolerance_nothing_and_no_fee() -> None:
    statement = priced(rules=fuel(tolerance_steps=2, service_fee="25.00"), legs=[fuel_leg(8, 6)])
    assert statement.lines == ()
    assert finding(statement, "FUEL").reason == "within_tolerance"


def test_the_instruments_doubt_is_the_customers() -> None:
    leg = {"unit": "U1", "fuel": {"tank_l": "90", "out_l": "82.0", "in_l": "47.5"}}
    leg["fuel"] |= {"half_width_out_l": "1.5", "half_width_in_l": "1.5"}
    charge = line(priced(rules=fuel(tolerance_mode="instrument", price_per_litre="1.62"), legs=[leg]), "FUEL")
    assert (str(charge.raw), charge.measure) == ("51.03", "31.5 L short")


def test_two_readings_that_meet_are_no_difference() -> None:
    statement = priced(rules=fuel(tolerance_mode="instrument"), legs=[fuel_leg(8, 7)])
    assert reasons(statement) == {"FUEL U1": "gauge_cannot_tell"}


def test_stated_half_widths_of_a_gauge() -> None:
    leg = fuel_leg(8, 7, half_width_out="0.25", half_width_in="0.25")
    assert due(rules=fuel(tolerance_mode="instrument"), legs=[leg]) == {"FUEL U1": "10.00"}


def test_tolerance_for_levels_in_litres() -> None:
    leg = {"unit": "U1", "fuel": {"tank_l": "90", "out_l": "80", "in_l": "75"}}
    assert due(rules=fuel(tolerance_l="5"), legs=[leg]) == {}
    assert due(rules=fuel(tolerance_l="4.9"), legs=[leg]) == {"FUEL U1": "10.00"}


def test_tolerance_in_steps_for_levels_in_litres() -> None:
    leg = {"unit": "U1", "fuel": {"tank_l": "80", "steps": 8, "out_l": "80", "in_l": "70"}}
    assert due(rules=fuel(tolerance_steps=1), legs=[leg]) == {}


def test_pump_price_of_the_day_with_a_factor() -> None:
    rules = {"fuel": {"pump_price_per_litre": "1.80", "pump_price_factor": "1.10"}}
    assert due(rules=rules, legs=HALF_TANK) == {"FUEL U1": "79.20"}


def test_pump_price_without_a_factor() -> None:
    assert due(rules={"fuel": {"pump_price_per_litre": "1.80"}}, legs=HALF_TANK) == {"FUEL U1": "72.00"}


@pytest.mark.parametrize(("rounding", "amount"), [("none", "67.50"), ("up_to_whole", "68.00"), ("0.1", "67.60")])
def test_rounding_of_litres(rounding: str, amount: str) -> None:
    assert due(rules=fuel(litres_rounding=rounding), legs=[fuel_leg(8, 5, tank="90")]) == {"FUEL U1": amount}


def test_minimum_charge_beside_the_fee() -> None:
    rules = fuel(min_charge="30.00", service_fee="12.00")
    assert due(rules=rules, legs=[fuel_leg(8, 7)]) == {"FUEL U1": "30.00", "FUEL_SERVICE U1": "12.00"}


def test_minimum_charge_that_counts_the_fee() -> None:
    rules = fuel(min_charge="40.00", service_fee="12.00", min_charge_includes_service_fee=True)
    assert due(rules=rules, legs=[fuel_leg(8, 7)]) == {"FUEL U1": "28.00", "FUEL_SERVICE U1": "12.00"}


def test_no_minimum_for_nothing() -> None:
    assert due(rules=fuel(min_charge="30.00"), legs=[fuel_leg(6, 6)]) == {}


def test_a_price_of_zero_is_no_line() -> None:
    assert due(rules=fuel(price_per_litre="0", service_fee="25.00"), legs=HALF_TANK) == {}


@pytest.mark.parametrize(
    ("out", "back", "code", "reason"),
    [
        (None, 5, "FUEL", "no_baseline"),
        (8, None, "FUEL", "not_read"),
        (6, 6, "FUEL", "level"),
        (4, 6, "FUEL", "surplus"),
    ],
)
def test_why_there_is_no_charge(out: Any, back: Any, code: str, reason: str) -> None:
    statement = priced(rules=fuel(service_fee="25.00"), legs=[fuel_leg(out, back)])
    assert statement.lines == ()
    assert reasons(statement) == {"FUEL U1": reason}


def test_zero_is_a_reading() -> None:
    assert due(rules=fuel(), legs=[fuel_leg(8, 0)]) == {"FUEL U1": "160.00"}


def test_not_applicable_is_no_finding() -> None:
    assert priced(rules=fuel(), legs=[{"unit": "U1", "fuel": {"tank_l": "80"}}]).findings == ()


def test_only_return_was_read() -> None:
    leg = {"unit": "U1", "fuel": {"tank_l": "80", "steps": 8, "in": 3}}
    assert reasons(priced(rules=fuel(), legs=[leg])) == {"FUEL U1": "no_baseline"}


def test_no_rule_no_charge() -> None:
    assert reasons(priced(legs=[*HALF_TANK, {"unit": "U2"}])) == {"FUEL U1": "no_rule"}


def test_a_level_of_zero_with_the_ignition_off_is_not_read() -> None:
    statement = priced(rules=fuel(), legs=[fuel_leg(8, 0, ignition_off_in=True)])
    assert statement.lines == ()
    assert [one.reason for one in statement.findings] == ["not_read", "ask"]


def test_litres_of_the_pump_beat_the_gauge() -> None:
    leg = fuel_leg(8, 6, pump_litres="17.9")
    assert due(rules=fuel(measure="pump"), legs=[leg]) == {"FUEL U1": "35.80"}


def test_room_at_pickup_is_not_owed_to_the_pump() -> None:
    leg = fuel_leg(7, 6, pump_litres="17.9")
    assert due(rules=fuel(measure="pump"), legs=[leg]) == {"FUEL U1": "15.80"}


def test_without_a_pump_receipt_the_gauge_counts() -> None:
    assert due(rules=fuel(measure="pump"), legs=[fuel_leg(8, 6)]) == {"FUEL U1": "40.00"}


def test_pump_without_a_pickup_reading_is_no_charge() -> None:
    leg = fuel_leg(None, 6, pump_litres="17.9")
    assert reasons(priced(rules=fuel(measure="pump"), legs=[leg])) == {"FUEL U1": "no_baseline"}


def test_the_pickup_gauge_may_doubt_the_pump() -> None:
    leg = fuel_leg(7, None, pump_litres="20")
    rules = fuel(measure="pump", tolerance_mode="instrument")
    assert due(rules=rules, legs=[leg]) == {"FUEL U1": "10.00"}  # 20 - 10 of room - 5 of doubt


@pytest.mark.parametrize(
    ("surplus", "credit"),
    [("no_refund", None), ("refund", "-18.00"), ("set_off", None)],
)
def test_surplus(surplus: str, credit: str | None) -> None:
    rules = fuel(surplus=surplus, surplus_price_per_litre="1.80")
    expected = {"FUEL_CREDIT U1": credit} if credit else {}
    assert due(rules=rules, legs=[fuel_leg(4, 5)]) == expected


def test_surplus_up_to_its_most() -> None:
    rules = fuel(surplus="refund", surplus_price_per_litre="1.80", surplus_max_litres="20")
    assert due(rules=rules, legs=[fuel_leg(2, 6)]) == {"FUEL_CREDIT U1": "-36.00"}


def test_surplus_at_the_price_of_fuel_where_no_other_is_agreed() -> None:
    assert due(rules=fuel(surplus="refund"), legs=[fuel_leg(4, 5)]) == {"FUEL_CREDIT U1": "-20.00"}
    pump = {"fuel": {"pump_price_per_litre": "1.50", "surplus": "refund"}}
    assert due(rules=pump, legs=[fuel_leg(4, 5)]) == {"FUEL_CREDIT U1": "-15.00"}


def test_surplus_is_refunded_beside_an_extra_for_something_else() -> None:
    prepaid = [extra(limits={"toilet": True})]
    assert due(rules=fuel(surplus="refund"), legs=[fuel_leg(4, 5)], prepaid=prepaid) == {"FUEL_CREDIT U1": "-20.00"}


def test_surplus_set_off_against_other_lines_only() -> None:
    rules = fuel(surplus="set_off") | {"waste": {"grey_fee": "12.00"}}
    answer = due(rules=rules, legs=[fuel_leg(4, 5)], waste={"grey_pct": 50})
    assert answer == {"WASTE_TANK grey": "12.00", "FUEL_CREDIT U1": "-12.00"}


def test_surplus_set_off_in_full() -> None:
    rules = fuel(surplus="set_off") | {"waste": {"grey_fee": "50.00"}}
    answer = due(rules=rules, legs=[fuel_leg(4, 5)], waste={"grey_pct": 50})
    assert answer == {"WASTE_TANK grey": "50.00", "FUEL_CREDIT U1": "-20.00"}


def test_a_surplus_worth_nothing_is_no_line() -> None:
    rules = fuel(surplus="refund", surplus_price_per_litre="0")
    assert due(rules=rules, legs=[fuel_leg(4, 5)]) == {}


def test_wrong_fuel_drops_the_level() -> None:
    statement = priced(rules=fuel(), legs=[fuel_leg(8, 4, wrong_fuel=True)])
    assert reasons(statement) == {"FUEL U1": "drained"}


def test_drain_fee_as_agreed() -> None:
    rules = fuel(wrong_fuel={"drain_fee": "180.00"}) | {"damage": {"excess": "100.00"}}
    assert due(rules=rules, legs=[fuel_leg(8, 4, wrong_fuel=True)]) == {"DAMAGE drain and flush": "180.00"}


def test_wrong_fuel_that_does_not_void_the_cover() -> None:
    rules = fuel(wrong_fuel={"drain_fee": "180.00", "voids_cover": False}) | {"damage": {"excess": "100.00"}}
    assert due(rules=rules, legs=[fuel_leg(8, 4, wrong_fuel=True)]) == {"DAMAGE drain and flush": "100.00"}


@pytest.mark.parametrize(
    ("rate", "fluid", "amount"),
    [
        ({"fixed": "35.00"}, {"warning_out": False, "warning_in": True}, "35.00"),
        ({"price_per_litre": "1.10"}, {"warning_out": False, "warning_in": True, "litres": "10"}, "11.00"),
    ],
)
def test_exhaust_fluid(rate: dict[str, str], fluid: dict[str, Any], amount: str) -> None:
    assert due(rules=fuel(aus32=rate), legs=[{"unit": "U1", "aus32": fluid}]) == {"AUS32 U1": amount}


@pytest.mark.parametrize(
    ("fluid", "reason"),
    [
        ({"warning_in": True}, "no_baseline"),
        ({"warning_out": False, "warning_in": False}, "level"),
        ({"warning_out": False, "warning_in": None}, "not_read"),
        ({"warning_out": True, "warning_in": True}, "operator_caused"),
        ({"warning_out": False, "warning_in": True}, "not_proven"),
    ],
)
def test_exhaust_fluid_not_charged(fluid: dict[str, Any], reason: str) -> None:
    statement = priced(rules=fuel(aus32={"price_per_litre": "1.10"}), legs=[{"unit": "U1", "aus32": fluid}])
    assert (statement.lines, reasons(statement)) == ((), {"AUS32 U1": reason})


def test_exhaust_fluid_is_not_charged_by_itself() -> None:
    leg = {"unit": "U1", "aus32": {"warning_out": False, "warning_in": True}}
    assert due(rules=fuel(), legs=[leg]) == {}


@pytest.mark.parametrize(
    ("out", "back", "driven", "asks"),
    [
        (8, 4, 100, True),
        (8, 4, 400, False),
        (8, 7, 900, True),
        (6, 6, 301, True),
        (6, 6, 300, False),
        (4, 6, 900, False),
    ],
)
def test_a_doubtful_reading_is_asked_about(out: int, back: int, driven: int, asks: bool) -> None:
    leg = {**fuel_leg(out, back), "odo_out": 1000, "odo_in": 1000 + driven}
    assert ("ask" in [one.reason for one in priced(rules=fuel(), legs=[leg]).findings]) is asks


@pytest.mark.parametrize(
    ("driven", "says"),
    [
        (39, "25.6 L for each 100 km: 5 to 25 is usual."),
        (40, None),
        (200, None),
        (201, "5 L for each 100 km: 5 to 25 is usual."),
        (400, "2.5 L for each 100 km: 5 to 25 is usual."),
    ],
)
def test_what_a_camper_uses(driven: int, says: str | None) -> None:
    leg = {**fuel_leg(8, 7), "odo_out": 1000, "odo_in": 1000 + driven}  # 10 L
    asked = [one.sentence for one in priced(rules=fuel(), legs=[leg]).findings if one.reason == "ask"]
    assert asked == ([says] if says else [])


def test_a_refill_answers_the_question() -> None:
    leg = {**fuel_leg(6, 6, refill_mentioned=True), "odo_out": 1000, "odo_in": 2000}
    assert reasons(priced(rules=fuel(), legs=[leg])) == {"FUEL U1": "level"}


def test_miles_are_asked_about_as_kilometres() -> None:
    leg = {**fuel_leg(6, 6), "odo_out": 1000, "odo_in": 1190, "odo_unit": "mi"}
    assert finding(priced(rules=fuel(), legs=[leg]), "FUEL").reason == "level"
    assert [one.reason for one in priced(rules=fuel(), legs=[leg]).findings] == ["level", "ask"]


def test_a_full_tank_leaves_the_pump_no_doubt() -> None:
    rules = fuel(measure="pump", tolerance_mode="instrument")
    assert due(rules=rules, legs=[fuel_leg(8, None, pump_litres="30")]) == {"FUEL U1": "60.00"}


def test_a_surplus_set_off_in_part_keeps_the_tax_class_of_fuel() -> None:
    rules = fuel(surplus="set_off") | {"waste": {"grey_fee": "12.00"}}
    tax = {"rates": {"reduced": "0.05"}, "classes": {"FUEL": "reduced"}}
    statement = priced(rules=rules, legs=[fuel_leg(4, 5)], waste={"grey_pct": 50}, tax=tax)
    assert [(one.code, one.tax_code) for one in statement.lines] == [
        ("WASTE_TANK", "standard"),
        ("FUEL_CREDIT", "reduced"),
    ]


def test_fuel_that_costs_nothing_has_no_minimum() -> None:
    assert due(rules=fuel(price_per_litre="0", min_charge="15.00", service_fee="25.00"), legs=[fuel_leg(8, 4)]) == {}


def test_an_event_that_tells_of_wrong_fuel_stands_for_the_drain_fee() -> None:
    rules = fuel(wrong_fuel={"drain_fee": "180.00"}) | {"damage": {"excess": "100.00"}}
    told = event(damaged("pump", "700.00"), cause="wrong fuel")
    assert due(rules=rules, legs=[fuel_leg(8, 4, wrong_fuel=True)], events=[told]) == {"DAMAGE pump": "700.00"}


def test_no_drain_fee_where_none_is_agreed() -> None:
    rules = fuel(wrong_fuel={"voids_cover": True}) | {"damage": {"excess": "100.00"}}
    statement = priced(rules=rules, legs=[fuel_leg(8, 4, wrong_fuel=True)])
    assert (statement.lines, reasons(statement)) == ((), {"FUEL U1": "drained"})


@pytest.mark.parametrize(("out", "back", "reason"), [(None, 4, "no_baseline"), (8, None, "not_read")])
def test_no_question_without_both_readings(out: Any, back: Any, reason: str) -> None:
    leg = {**fuel_leg(out, back), "odo_out": 1000, "odo_in": 1500}
    assert [one.reason for one in priced(rules=fuel(), legs=[leg]).findings] == [reason]
