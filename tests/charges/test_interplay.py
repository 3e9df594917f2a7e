"""Where rules meet: one test for each row of the trade's table of interplay."""

from typing import Any

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
    line,
    priced,
    reasons,
    total,
)

TANK = extra("tank", limits={"fuel_tanks": 1})
CLEANING = {
    "interior": {"standard": "60.00", "heavy": "150.00", "specialist": "400.00"},
    "odour": {"standard": "30.00", "heavy": "90.00"},
}


def test_prepaid_tank_and_minimum_charge() -> None:
    charge = line(
        priced(rules={"fuel": {**FUEL, "min_charge": "30.00"}}, legs=[fuel_leg(8, 7)], prepaid=[TANK]), "FUEL"
    )
    assert (str(charge.raw), str(charge.covered), str(charge.amount)) == ("30.00", "30.00", "0.00")


def test_prepaid_tank_and_surplus() -> None:
    rules = {"fuel": {**FUEL, "surplus": "refund"}}
    statement = priced(rules=rules, legs=[fuel_leg(4, 8)], prepaid=[TANK])
    assert (statement.lines, reasons(statement)["FUEL_CREDIT U1"]) == ((), "covered")


def test_prepaid_cleaning_and_smoke() -> None:
    bought = extra(cleaning_up_to={"interior": "standard"})
    smoke = {"interior": {"tier": "specialist", "cause": "smoke"}}
    answer = due(rules={"cleaning": CLEANING}, cleaning=smoke, prepaid=[bought])
    assert answer == {"CLEANING interior specialist": "340.00"}


def gas_paid_back(**told: Any) -> dict[str, str]:
    rules = {"gas": {**GAS, "receipts": "all"}}
    receipts = [{"ref": "receipt 1", "amount": "38.90", **told}]
    bought = [extra(limits={"gas_cylinders": 1})]
    return due(rules=rules, legs=[gas_leg(cylinder("16.5", "14.1"))], gas_receipts=receipts, prepaid=bought)


def test_gas_receipt_and_prepaid_gas() -> None:
    assert gas_paid_back() == {"GAS A": "0.00"}
    assert gas_paid_back(operator_fault=True) == {"GAS A": "0.00", "GAS_RECEIPT receipt 1": "-38.90"}


def test_late_and_extension_agreed_afterwards() -> None:
    """Lateness was charged in version 1; the extension is back-dated, so the late line lapses."""
    extension = {"days": 2, "day_rate": "0", "new_return_at": "2026-05-12T10:00", "agreed_at": "2026-05-11T09:00"}
    times = {"returned_at": "2026-05-11T13:20", "extension": extension}
    told = [{"code": "LATE", "ref": "return", "percent": "50", "reason": "weather", "approver": "depot manager"}]
    statement = priced(
        rules={"late": LATE}, rental=times, waivers=told, previous_settlement={"version": 1, "total": "245.00"}
    )
    assert (str(statement.totals.delta), [one.code for one in statement.lapsed]) == ("-245.00", ["LATE"])


def stood(start: str) -> dict[str, str]:
    rules = {"late": LATE, "damage": {"excess": "500.00"}, "loss_of_use": {"day_rate": "100.00"}}
    events = [event(damaged(), off_road_days=4, off_road_from=start)]
    return due(rules=rules, rental={"returned_at": "2026-05-11T13:20"}, events=events)


def test_late_and_loss_of_use() -> None:
    assert stood("2026-05-10")["LOSS_OF_USE E1"] == "200.00"  # 10 and 11 May are late already
    assert stood("2026-05-12")["LOSS_OF_USE E1"] == "400.00"
    assert stood("2026-05-08")["LOSS_OF_USE E1"] == "200.00"


def test_loss_of_use_of_a_return_in_time() -> None:
    rules = {"late": LATE, "damage": {}, "loss_of_use": {"day_rate": "100.00"}}
    events = [event(damaged(), off_road_days=4, off_road_from="2026-05-10")]
    answer = due(rules=rules, rental={"returned_at": "2026-05-10T10:20"}, events=events)
    assert answer["LOSS_OF_USE E1"] == "400.00"


def test_late_after_a_breakdown() -> None:
    waits = [{"from": "2026-05-10T09:00", "to": "2026-05-10T13:00", "cause": "breakdown"}]
    times = {"returned_at": "2026-05-10T13:20", "operator_waits": waits}
    assert due(rules={"late": LATE}, rental=times) == {}


def test_damage_and_missing_equipment() -> None:
    crank = {"item": "Awning crank", "price": "32.00"}
    events = [event(damaged("awning crank", "50.00"), damaged("awning", "500.00"))]
    statement = priced(rules={"damage": {}}, equipment=[crank], events=events)
    assert amounts(statement) == {"EQUIPMENT Awning crank": "32.00", "DAMAGE awning": "500.00"}
    assert reasons(statement)["DAMAGE awning crank"] == "one_finding_one_line"


def test_one_finding_by_its_number() -> None:
    crank = {"item": "crank", "price": "32.00", "finding": "F7"}
    events = [event(damaged("awning handle", "50.00", finding="F7"), damaged("awning", "500.00", finding="F8"))]
    assert list(due(rules={"damage": {}}, equipment=[crank], events=events)) == ["EQUIPMENT crank", "DAMAGE awning"]


def test_damage_and_cleaning() -> None:
    events = [event(damaged("seat cushion", "180.00", stain_zone="interior"))]
    answer = due(rules={"cleaning": CLEANING, "damage": {}}, cleaning={"interior": "heavy"}, events=events)
    assert answer == {"DAMAGE seat cushion": "180.00"}


def test_kit_used_at_an_accident() -> None:
    rules = {"kits": {"first_aid": {"kit_price": "39.00"}}}
    assert due(rules=rules, kits=[{"kit": "first_aid", "seal_intact": False, "injury_report": True}]) == {}


def powder(*, report: bool) -> dict[str, str]:
    rules = {"kits": {"extinguisher": {"kit_price": "72.00"}}, "cleaning": CLEANING}
    kits = [{"kit": "extinguisher", "pin_pulled": True, "fire_report": report}]
    return due(rules=rules, kits=kits, cleaning={"interior": {"tier": "specialist", "cause": "powder"}})


def test_extinguisher_powder_inside() -> None:
    assert powder(report=False) == {"CLEANING interior specialist": "400.00", "SAFETY_KIT extinguisher": "72.00"}
    assert powder(report=True) == {}


def test_wrong_fuel_and_fuel_level() -> None:
    events = [event(damaged("drain", "480.00"), cause="wrong fuel", unit="U2")]
    legs = [fuel_leg(8, 4), fuel_leg(8, 4, unit="U2")]
    rules = {"fuel": {**FUEL, "swap_leg_policy": "settle_each_leg"}, "damage": {"excess": "100.00"}}
    assert due(rules=rules, legs=legs, events=events) == {"FUEL U1": "80.00", "DAMAGE drain": "480.00"}


def test_toilet_and_odour_cleaning() -> None:
    rules = {"cleaning": CLEANING, "waste": {"toilet_fee": "90.00"}}
    statement = priced(rules=rules, waste={"toilet_pct": 50}, cleaning={"odour": "standard"})
    assert amounts(statement) == {"TOILET toilet": "90.00"}
    assert reasons(statement)["CLEANING odour standard"] == "one_finding_one_line"
    assert len(due(rules=rules, waste={"toilet_pct": 50}, cleaning={"odour": "heavy"})) == 2
    assert due(rules=rules, waste={"toilet_pct": 0}, cleaning={"odour": "standard"}) == {
        "CLEANING odour standard": "30.00"
    }


def test_excess_per_rental_and_reopening() -> None:
    before = {"version": 1, "total": "600.00", "excess_paid": "600.00"}
    rules = {"damage": {"excess": "1000.00", "excess_per": "rental"}}
    answer = due(rules=rules, events=[event(damaged())], previous_settlement=before)
    assert answer == {"DAMAGE rear bumper": "400.00"}


def test_waiver_and_excess() -> None:
    """The waiver takes off what is due; the shares stay those of the raw repairs."""
    told = [{"code": "DAMAGE", "ref": "left", "percent": "50", "reason": "photo missing", "approver": "depot manager"}]
    events = [event(damaged("left", "780.00"), damaged("right", "345.00"))]
    answer = due(rules={"damage": {"excess": "1000.00"}}, events=events, waivers=told)
    assert answer == {"DAMAGE left": "693.33", "DAMAGE right": "306.67", "WAIVER left": "-346.67"}


def test_waiver_and_tax() -> None:
    told = [{"code": "CLEANING", "percent": "100", "reason": "photo missing", "approver": "depot manager"}]
    tax = {"rates": {"reduced": "0.05"}, "classes": {"CLEANING": "reduced"}}
    statement = priced(tax=tax, rules={"cleaning": CLEANING}, cleaning={"interior": "standard"}, waivers=told)
    assert (line(statement, "WAIVER").tax_code, str(statement.totals.tax)) == ("reduced", "0.00")


def test_credits_and_deposit() -> None:
    credit = {"code": "GOODWILL", "ref": "heating", "amount": "20.00", "reason": "cold night", "approver": "R."}
    statement = priced(rules={"cleaning": CLEANING}, cleaning={"interior": "standard"}, credits=[credit])
    assert (total(statement), str(statement.totals.deposit_captured)) == ("40.00", "40.00")


def found(hours: str | None, at: str) -> dict[str, str]:
    """Everything of this statement was found on 11 May at the given time; the unit came back on 10 May at 10:00."""
    rules = {"fuel": {**FUEL, "service_fee": "25.00"}, "gas": {**GAS, "service_fee": "10.00"}, "damage": {}}
    refs = {"FUEL": "U1", "GAS": "A", "DAMAGE": "rear bumper", "LATE": "return"}
    late = [{"code": code, "ref": ref, "found_at": f"2026-05-11T{at}"} for code, ref in refs.items()]
    legs = [{**fuel_leg(8, 4), **gas_leg(cylinder("16.5", "14.1"))}]
    return due(
        rules={**rules, "late_findings": {"cut_off_hours": hours}},
        legs=legs,
        events=[event(damaged())],
        late_findings=late,
    )


def test_errors_found_after_the_cut_off_are_not_charged() -> None:
    assert found("24", "10:01") == {}
    assert len(found("24", "10:00")) == 5
    assert len(found(None, "10:01")) == 5


def test_customer_insured_elsewhere_sees_every_line() -> None:
    statement = priced(rules={"damage": {"excess": "500.00"}}, events=[event(damaged())]).as_document()
    assert statement["lines"][0]["raw"] == "780.00"
    assert [step["kind"] for step in statement["workings"][0]["steps"]] == ["figure", "subtotal", "cover", "due"]
