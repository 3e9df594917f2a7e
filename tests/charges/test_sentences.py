"""What a person reads where something is not charged, or not in full: every reason, word for word."""

from typing import Any

import pytest

from handover.charges.sheet import Why
from tests.charges.documents import (
    FUEL,
    GAS,
    LATE,
    cylinder,
    damaged,
    event,
    extra,
    fuel_leg,
    gas_leg,
    priced,
)


def said(**parts: Any) -> list[str]:
    return [f"{one.code} {one.ref} {one.reason}: {one.sentence}" for one in priced(**parts).findings]


def fuel(leg: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"rules": {"fuel": {**FUEL, **more}}, "legs": [leg]}


def swapped(first: dict[str, Any], last: dict[str, Any], policy: str = "carry_litres", **more: Any) -> dict[str, Any]:
    return {"rules": {"fuel": {**FUEL, "swap_leg_policy": policy, **more}}, "legs": [first, last]}


def gas(out: Any, back: Any, rate: dict[str, Any] | None = None, **more: Any) -> dict[str, Any]:
    return {"rules": {"gas": {**GAS, **(rate or {})}}, "legs": [gas_leg(cylinder(out, back, **more))]}


def fluid(**readings: Any) -> dict[str, Any]:
    return fuel({"unit": "U1", "aus32": readings}, aus32={"price_per_litre": "1.10"})


def driven(out: int | None, back: int | None, **rate: Any) -> dict[str, Any]:
    terms = {"included_per_day": "100", "tiers": [{"up_to": None, "rate": "0.29"}], **rate}
    return {"rules": {"distance": terms}, "legs": [{"unit": "U1", "odo_out": out, "odo_in": back}]}


def dirty(found: Any, **more: Any) -> dict[str, Any]:
    return {"rules": {"cleaning": {"interior": {"heavy": "150.00"}}}, "cleaning": {"interior": found}, **more}


def tank(**levels: Any) -> dict[str, Any]:
    return {"rules": {"waste": {"grey_fee": "40.00", "toilet_fee": "90.00"}}, "waste": levels}


def kit(**found: Any) -> dict[str, Any]:
    return {"rules": {"kits": {"first_aid": {"kit_price": "39.00"}}}, "kits": [{"kit": "first_aid", **found}]}


def item(rate: dict[str, Any] | None = None, **found: Any) -> dict[str, Any]:
    return {"rules": {"damage": rate or {}}, "events": [event({"part": "door", **found})]}


def stood(**more: Any) -> dict[str, Any]:
    rules = {"damage": {}, "loss_of_use": {"day_rate": "110.00", "proof": "utilisation"}}
    return {"rules": rules, "events": [event(damaged(), **more)]}


def notice(**more: Any) -> dict[str, Any]:
    found = {"kind": "toll", "ref": "toll 1", "amount": "5.00", **more}
    return {
        "rules": {"admin": {"notice_window_months": 12}},
        "rental": {"returned_at": "2026-05-10T10:00"},
        "notices": [found],
    }


def receipt(**more: Any) -> dict[str, Any]:
    return {"gas_receipts": [{"ref": "receipt 1", "amount": "20.00", **more}]}


def away(leg: dict[str, Any], kilometres: int, **more: Any) -> dict[str, Any]:
    return fuel({**leg, "odo_out": 1000, "odo_in": 1000 + kilometres}, **more)


OFF = {"ignition_off_in": True}
DOUBT = {"tolerance_mode": "instrument"}
EXCHANGED = {"serial_out": "S1", "serial_in": "S2"}
TANK = extra("tank", limits={"fuel_tanks": 1})
LATER = extra("tank", bought="2026-05-08T19:12", limits={"fuel_tanks": 1})
TWICE = [event(damaged(), name=name, cause="unknown") for name in ("E1", "E2")]
REFILL = {"policy": "by_cylinder", "price_per_kg": None, "refill_price": "32.50", "refill_threshold_pct": "90"}
SCALE = {"half_width_out_kg": "0.1", "half_width_in_kg": "0.1"}

FUELS = [
    ({"legs": [fuel_leg(8, 4)]}, "FUEL U1 no_rule: Not charged: the rate card has no price for fuel."),
    (fuel(fuel_leg(None, 4)), "FUEL U1 no_baseline: Not chargeable: no pickup reading of the fuel."),
    (fuel(fuel_leg(8, None)), "FUEL U1 not_read: Not chargeable: the fuel was not read at return."),
    (fuel(fuel_leg(8, 8)), "FUEL U1 level: No difference: came back with what it left with."),
    (fuel(fuel_leg(4, 5)), "FUEL U1 surplus: Came back with 10 L more than it had to."),
    (
        fuel(fuel_leg(8, 7), tolerance_steps=1),
        "FUEL U1 within_tolerance: 1 steps short, not above the tolerance of 1.",
    ),
    (
        fuel(fuel_leg(8, 7), **DOUBT),
        "FUEL U1 gauge_cannot_tell: No difference: gauge can't tell 1 steps, its two readings meet.",
    ),
    (
        fuel(fuel_leg(8, 4, wrong_fuel=True)),
        "FUEL U1 drained: Not charged: wrong fuel was in it, so the tank was drained.",
    ),
    (
        {**fuel(fuel_leg(4, 5), surplus="refund"), "prepaid": [TANK]},
        "FUEL_CREDIT U1 covered: Not refunded: the tank is prepaid, so its level is free either way.",
    ),
    (
        swapped(fuel_leg(8, 4), fuel_leg(8, 8, unit="U2"), "waive_failed_leg"),
        "FUEL U1 operator_caused: 40 L short, not charged: the unit was swapped by the operator's cause.",
    ),
    (
        swapped(fuel_leg(4, 6), fuel_leg(8, 8, unit="U2")),
        "FUEL all legs surplus: 20 L more given back than handed over.",
    ),
    (
        swapped(fuel_leg(4, 6), fuel_leg(8, 6, unit="U2")),
        "FUEL all legs level: As much given back as handed over.",
    ),
    (
        swapped(fuel_leg(8, 7), fuel_leg(8, 8, unit="U2"), tolerance_steps=1),
        "FUEL all legs within_tolerance: 10 L short over all legs, within what the gauges can tell.",
    ),
    (
        swapped(fuel_leg(8, 7), fuel_leg(8, 8, unit="U2"), **DOUBT),
        "FUEL all legs gauge_cannot_tell: 10 L short over all legs, within what the gauges can tell.",
    ),
    (fluid(warning_in=True), "AUS32 U1 no_baseline: Not chargeable: the warning was not looked at at pickup."),
    (
        fluid(warning_out=False, warning_in=False),
        "AUS32 U1 level: Not charged: no warning was seen at return.",
    ),
    (fluid(warning_out=False), "AUS32 U1 not_read: Not charged: no warning was seen at return."),
    (
        fluid(warning_out=True, warning_in=True),
        "AUS32 U1 operator_caused: Not charged: the warning was on when it left.",
    ),
    (
        fluid(warning_out=False, warning_in=True),
        "AUS32 U1 not_proven: Not chargeable: no litres of the refill were noted.",
    ),
]

GASES = [
    (
        {"legs": [gas_leg(cylinder("16.5", "14.1"))]},
        "GAS A no_rule: Not charged: the rate card has no price for gas.",
    ),
    (gas(None, "14.1"), "GAS A no_baseline: Not chargeable: no pickup weight of this cylinder."),
    (gas("16.5", None), "GAS A not_read: Not chargeable: this cylinder was not weighed at return."),
    (gas("14.0", "14.0"), "GAS A level: No difference: it weighs what it weighed."),
    (gas("14.0", "14.5"), "GAS A surplus: Came back 0.5 kg fuller."),
    (gas("14.0", "13.9"), "GAS A within_tolerance: 0.1 kg less, not above the tolerance of 0.2 kg."),
    (
        gas("14.0", "13.8", {**DOUBT, "tolerance_kg": "0"}, **SCALE),
        "GAS A gauge_cannot_tell: No difference: the scale can't tell 0.2 kg, its two readings meet.",
    ),
    (
        gas("14.0", "13.0", **EXCHANGED),
        "GAS A not_read: Not chargeable: another cylinder came back and a tare is not known.",
    ),
    (
        gas("14.0", None, tare_kg=None, missing=True),
        "GAS A no_baseline: Its content is not chargeable: no tare was noted at pickup.",
    ),
    (gas("5.5", None, missing=True), "GAS A level: Its content is not charged: it left empty."),
    (gas("14.0", "12.9", {"policy": "included"}), "GAS A included: 1.1 kg used; gas is included."),
    (
        gas("14.0", "12.9", REFILL, tare_kg=None),
        "GAS A not_read: Not chargeable: without tare and net mass its content is not known.",
    ),
    (gas("14.0", "12.9", REFILL), "GAS A no_baseline: No refill charged: it left 77.273 % full, below 90 %."),
    (gas("16.5", "15.95", REFILL), "GAS A within_tolerance: Still 95 % full, not below 90 %."),
    (
        receipt(),
        "GAS_RECEIPT receipt 1 not_reimbursed: "
        "Not paid back: the rate card pays back gas only for the branch's fault, or not at all.",
    ),
    (
        {**receipt(), "prepaid": [extra(limits={"gas_kg": "5"})]},
        "GAS_RECEIPT receipt 1 not_reimbursed: Not paid back: gas is prepaid, and the branch was not at fault.",
    ),
    (
        {**receipt(reimbursable=False), "prepaid": [extra(limits={"gas_kg": "5"})]},
        "GAS_RECEIPT receipt 1 not_reimbursed: "
        "Not paid back: the rate card pays back gas only for the branch's fault, or not at all.",
    ),
]

RETURNS = [
    (dirty(None), "CLEANING interior not_read: Not chargeable: not inspected."),
    (dirty("none"), "CLEANING interior none level: Clean."),
    (dirty("standard"), "CLEANING interior standard no_rule: Not charged: the rate card has no price for this."),
    (
        dirty({"tier": "heavy", "cause": "powder"}, kits=[{"kit": "extinguisher", "fire_report": True}]),
        "CLEANING interior heavy exempt: Not charged: extinguisher powder after a fire with a report.",
    ),
    (
        dirty("heavy", events=[event(damaged(stain_zone="interior"))]),
        "CLEANING interior heavy one_finding_one_line: Not charged: the stain that stays is charged as damage.",
    ),
    (tank(grey_pct=None), "WASTE_TANK grey not_read: Not chargeable: not read at return."),
    (tank(toilet_pct=90, toilet_out_pct=None), "TOILET toilet no_baseline: Not chargeable: no pickup reading."),
    (tank(grey_pct=0), "WASTE_TANK grey within_tolerance: 0 % full, not above 0 %."),
    (
        tank(toilet_pct=30, toilet_out_pct=40),
        "TOILET toilet level: Came back 30 % full and left 40 % full.",
    ),
    (tank(fresh_pct=10), "FRESH_WATER fresh included: Not charged: fresh water used is the customer's."),
    (
        kit(seal_out=None, seal_intact=False),
        "SAFETY_KIT first_aid no_baseline: Not chargeable: its seal or gauge was not recorded at pickup.",
    ),
    (kit(seal_intact=None), "SAFETY_KIT first_aid not_read: Not chargeable: its seal was not looked at on return."),
    (kit(), "SAFETY_KIT first_aid level: Whole, as it left."),
    (
        kit(seal_intact=False, expired_at_pickup=True),
        "SAFETY_KIT first_aid exempt: Not charged: it was past its date at pickup.",
    ),
    (
        kit(seal_intact=False, injury_report=True),
        "SAFETY_KIT first_aid exempt: Not charged: used in an emergency, with a report.",
    ),
    (
        {"kits": [{"kit": "first_aid"}]},
        "SAFETY_KIT first_aid no_rule: Not charged: the rate card has no price for this kit.",
    ),
    (
        {"equipment": [{"item": "chair", "price": "45.00", "qty_out": None}]},
        "EQUIPMENT chair no_baseline: Not chargeable: not counted at pickup.",
    ),
    ({"equipment": [{"item": "chair", "price": "45.00", "qty": 0}]}, "EQUIPMENT chair level: All there."),
    (
        {"rules": {"late": LATE}, "rental": {"returned_at": "2026-05-10T10:00"}},
        "LATE return level: Back in time.",
    ),
    (
        {"rules": {"late": LATE}, "rental": {"returned_at": "2026-05-10T10:30"}},
        "LATE return within_grace: 30 min late, inside the grace of 30 min.",
    ),
    (driven(1000, 9000, included_per_day=None), "DISTANCE rental included: Distance is unlimited."),
    (
        driven(None, 9000),
        "DISTANCE rental no_baseline: Not chargeable: no odometer reading at both ends of U1.",
    ),
    (driven(1000, 1700), "DISTANCE rental within_allowance: Within what is included."),
    (
        driven(1000, 1710, tolerance="20"),
        "DISTANCE rental within_tolerance: 10 km over, within the tolerance.",
    ),
]

DAMAGES = [
    (
        {"events": [event(damaged())]},
        "DAMAGE E1 no_rule: Not charged: no liability option and no price for damage.",
    ),
    (
        item(inspected_at_pickup=False),
        "DAMAGE door no_baseline: Not chargeable: this part was not looked at at pickup.",
    ),
    (item(pre_existing=True), "DAMAGE door pre_existing: Not charged: it was there at pickup."),
    (
        item({"fair_wear_max_mm": {"dent": "10"}}, kind="dent", size_mm="10"),
        "DAMAGE door fair_wear: Not charged: fair wear.",
    ),
    (
        item(second_on_axle=True),
        "DAMAGE door not_applicable: Not charged: a second tyre on one axle is not agreed.",
    ),
    (item(), "DAMAGE door provisional: Not charged yet: no price for the repair."),
    (item(repair="0"), "DAMAGE door fair_wear: Not charged: nothing was lost by it."),
    (
        {**item(repair="90.00"), "equipment": [{"item": "Door", "price": "45.00"}]},
        "DAMAGE door one_finding_one_line: Not charged here: it is charged as equipment.",
    ),
    (
        {"rules": {"damage": {}}, "events": TWICE},
        "DAMAGE E2 merged: Counted as one with E1: one excess and one fee for both.",
    ),
    (
        stood(off_road_days=3),
        "LOSS_OF_USE E1 not_proven: Not charged: no proof that the unit would have been out.",
    ),
    (
        stood(off_road_days=3, other_work_days=3, off_road_proof="list of bookings"),
        "LOSS_OF_USE E1 one_finding_one_line: No day counts for this repair alone.",
    ),
]

DESKS = [
    (notice(operator_caused=True), "TOLL toll 1 operator_caused: Not charged: the branch caused it."),
    (
        notice(at="2026-05-03T13:59"),
        "TOLL toll 1 not_applicable: Not charged: it is not from the time of this rental.",
    ),
    (
        notice(received_on="2027-05-11"),
        "TOLL toll 1 too_late: Not charged: it came after the time in which notices are charged.",
    ),
    (
        notice(must_be_told=True),
        "TOLL toll 1 not_proven: Not charged yet: the customer has to get a copy first.",
    ),
    (
        {"prepaid": [LATER]},
        "PREPAID_REFUND tank not_applicable: "
        "tank was bought after pickup: it does not apply, and its price comes back.",
    ),
    (
        {**fuel(fuel_leg(8, 4)), "deferred": [{"code": "FUEL", "max": "90", "until": "2026-05-20"}]},
        "FUEL U1 provisional: Not charged yet: at most 90.00 EUR, until 2026-05-20.",
    ),
    (
        {
            **fuel(fuel_leg(8, 4)),
            "deferred": [{"code": "FUEL", "max": "90", "until": "2026-05-20", "awaiting": "the pump"}],
        },
        "FUEL U1 provisional: Not charged yet: waits for the pump; at most 90.00 EUR, until 2026-05-20.",
    ),
    (
        {
            **fuel(fuel_leg(8, 4)),
            "rules": {"fuel": FUEL, "late_findings": {"cut_off_hours": "24"}},
            "late_findings": [{"code": "FUEL", "ref": "U1", "found_at": "2026-05-11T10:01"}],
        },
        "FUEL U1 too_late: Not charged: found after the announced time for late findings.",
    ),
    (
        {
            **tank(toilet_pct=90),
            "rules": {"waste": {"toilet_fee": "90.00"}, "cleaning": {"odour": {"standard": "60.00"}}},
            "cleaning": {"odour": "standard"},
        },
        "CLEANING odour standard one_finding_one_line: Not charged: it comes with the toilet, whose fee is charged.",
    ),
]

QUESTIONS = [
    (fuel(fuel_leg(8, 0, **OFF)), "FUEL U1 ask: Read with the ignition off: was the gauge alive?"),
    (away(fuel_leg(6, 6), 301), "FUEL U1 ask: The same level after 301 km: was it filled up?"),
    (away(fuel_leg(8, 4), 123), "FUEL U1 ask: 32.5 L for each 100 km: 5 to 25 is usual."),
]


@pytest.mark.parametrize(("parts", "sentence"), [*FUELS, *GASES, *RETURNS, *DAMAGES, *DESKS, *QUESTIONS])
def test_what_is_said_where_nothing_is_charged(parts: dict[str, Any], sentence: str) -> None:
    assert sentence in said(**parts)


WAIVER = {"code": "FUEL", "percent": 75, "reason": "weather", "approver": "host"}


@pytest.mark.parametrize(
    ("waiver", "sentence"),
    [
        ({"code": "GAS"}, "GAS : This line is not on the statement any more, or nothing is due on it."),
        ({"ref": "U9"}, "FUEL U9: This line is not on the statement any more, or nothing is due on it."),
        ({}, "FUEL : 60.00 is above what host may waive; a second approver can."),
    ],
)
def test_what_is_said_where_a_waiver_lapses(waiver: dict[str, Any], sentence: str) -> None:
    lapsed = priced(**fuel(fuel_leg(8, 4)), waivers=[{**WAIVER, **waiver}]).lapsed
    assert [f"{one.code} {one.ref}: {one.sentence}" for one in lapsed] == [sentence]


def test_every_reason_is_said_somewhere() -> None:
    tables = [*FUELS, *GASES, *RETURNS, *DAMAGES, *DESKS, *QUESTIONS]
    assert {finding.reason for parts, _ in tables for finding in priced(**parts).findings} == set(Why)
