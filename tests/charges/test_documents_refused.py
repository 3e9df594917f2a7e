"""Documents that cannot be priced: one sentence for each problem, at its path."""

from typing import Any

import pytest

from handover.charges import DocumentError, Problem, parse
from tests.charges.documents import FUEL, GAS, LATE, cylinder, damaged, document, event, extra, fuel_leg, gas_leg


def problems(whole: Any = None, **parts: Any) -> dict[str, str]:
    with pytest.raises(DocumentError) as refused:
        parse(document(**parts) if whole is None else whole)
    assert str(refused.value)
    return {problem.path: problem.sentence for problem in refused.value.problems}


def rental(**more: Any) -> dict[str, Any]:
    return {"rental": more}


def rules(**more: Any) -> dict[str, Any]:
    return {"rules": more}


def litres(left: str, back: str, **more: Any) -> dict[str, Any]:
    return {"legs": [{"unit": "U1", "fuel": {"tank_l": "90", "out_l": left, "in_l": back, **more}}]}


def in_event(**item: Any) -> dict[str, Any]:
    return {"events": [event(damaged(**item))]}


TIERS = [{"up_to": None, "rate": "0.29"}]
DISTANCE = {"included_per_day": "100", "tiers": TIERS}
EXTENSION = {"days": 1, "day_rate": "118.00", "new_return_at": "2026-05-09T10:00"}
MANUAL = {"ref": "x", "amount": "3", "evidence": "e", "by": "A", "second": "B", "customer_told_on": "2026-05-10"}
WAIVER = {"code": "LATE", "reason": "r", "approver": "A"}
RECEIPT = {"ref": "r", "amount": "1", "currency": "NOK"}
TREAD = {"tread_now_mm": "5.0", "tread_new_mm": "8.0", "tread_min_mm": "1.6"}

READINGS = [
    ({"legs": [fuel_leg(8, 9)]}, "legs[0].fuel.in", "9 is above the 8 steps of this gauge"),
    ({"legs": [fuel_leg(70, 5)]}, "legs[0].fuel.out", "Litres may have been typed"),
    ({"legs": [fuel_leg(8, -1)]}, "legs[0].fuel.in", "-1 is below 0"),
    (litres("91", "50"), "legs[0].fuel.out_l", "91 is above the 90 litres of this tank"),
    (litres("80", "90.1"), "legs[0].fuel.in_l", "gallons"),
    (litres("80", "50", out=8), "legs[0].fuel.out_l", "either in steps or in litres"),
    ({"legs": [{"unit": "U1", "fuel": {"out": 8, "in": 5}}]}, "legs[0].fuel.tank_l", "without tank_l and steps"),
    ({"legs": [{"unit": "U1", "fuel": {"out_l": "8"}}]}, "legs[0].fuel.tank_l", "usable litres"),
    ({"legs": [fuel_leg(8, 5, tank="0")]}, "legs[0].fuel.tank_l", "above 0"),
    ({"legs": [{"unit": "U1", "odo_out": 48210, "odo_in": 43050}]}, "legs[0].odo_in", "lower than 48210 at pickup"),
    ({"legs": [{"unit": "U1", "odo_out": "1.5"}]}, "legs[0].odo_out", "not a whole number"),
    ({"legs": [gas_leg(cylinder("5.0", "9.0"))]}, "legs[0].gas[0].gross_out_kg", "below the tare"),
    ({"legs": [gas_leg(cylinder("16.5", "16.9"))]}, "legs[0].gas[0].gross_in_kg", "weighed with its regulator"),
    ({"waste": {"grey_pct": 101}}, "waste.grey_pct", "101 is above 100"),
    ({"equipment": [{"item": "chair", "price": "1", "qty": 3, "qty_out": 2}]}, "equipment[0].qty", "2 or fewer can"),
    ({"equipment": [{"item": "chair"}]}, "equipment[0].price", "needs its price"),
    (in_event(tread_now_mm="5"), "events[0].items[0].tread_now_mm", "all three"),
    (in_event(tread_now_mm="5", tread_new_mm="8"), "events[0].items[0].tread_now_mm", "all three"),
    (in_event(tread_now_mm="5", tread_min_mm="1.6"), "events[0].items[0].tread_now_mm", "all three"),
    (in_event(tread_new_mm="8", tread_min_mm="1.6"), "events[0].items[0].tread_now_mm", "all three"),
    (in_event(**{**TREAD, "tread_new_mm": "1.6"}), "events[0].items[0].tread_new_mm", "not above the least"),
    (in_event(**{**TREAD, "tread_now_mm": "8.1"}), "events[0].items[0].tread_now_mm", "more than the 8.0 mm"),
]

TIMES = [
    (rental(returned_at="2026-05-03T13:00"), "rental.returned_at", "before the pickup"),
    (rental(scheduled_return_at="2026-05-02T10:00"), "rental.scheduled_return_at", "may be mistyped"),
    (rental(returned_at="2026-05-10T10:00", arrived_at="2026-05-10T11:00"), "rental.arrived_at", "after the return"),
    (rental(returned_at="10.05.2026"), "rental.returned_at", 'write it like "2026-05-10T10:00"'),
    (rental(returned_at="2026-02-30T10:00"), "rental.returned_at", "not in the calendar"),
    (rental(pickup_at="2026-03-29T02:30"), "rental.pickup_at", "never was: clocks in Europe/Berlin went forward"),
    (rental(extension=EXTENSION), "rental.extension.new_return_at", "before the return it extends"),
    (
        rental(operator_waits=[{"from": "2026-05-10T10:00", "to": "2026-05-10T09:00"}]),
        "rental.operator_waits[0].to",
        "ends before",
    ),
    (rules(late={**LATE, "closed_dates": ["Whit Monday"]}), "rules.late.closed_dates[0]", "not a date"),
    (
        rules(late={**LATE, "opening_hours": {"mon": ["8:30", "17:00"]}}),
        "rules.late.opening_hours.mon[0]",
        "not a time",
    ),
    (rules(late={**LATE, "opening_hours": {"mon": ["17:00", "08:30"]}}), "rules.late.opening_hours.mon", "in pairs"),
    (rules(late={**LATE, "opening_hours": {"mon": ["17:00"]}}), "rules.late.opening_hours.mon", "in pairs"),
    (rules(late={**LATE, "opening_hours": {"monday": None}}), "rules.late.opening_hours.monday", "mon, tue"),
    (rules(late={**LATE, "after_hours": "deemed_next_opening"}), "rules.late.opening_hours", "needs opening hours"),
]

RULES = [
    (rules(fuel={}), "rules.fuel.price_per_litre", "one and not both"),
    (rules(fuel={**FUEL, "pump_price_per_litre": "1"}), "rules.fuel.price_per_litre", "one and not both"),
    (rules(fuel={**FUEL, "aus32": {}}), "rules.fuel.aus32.fixed", "one and not both"),
    (rules(fuel={**FUEL, "policy": "full"}), "rules.fuel.policy", "same_to_same, full_to_full"),
    (rules(gas={}), "rules.gas.price_per_kg", "price per kg"),
    (rules(gas={"policy": "swap"}), "rules.gas.refill_price", "one refill"),
    (rules(gas={"policy": "by_cylinder", "refill_price": "1"}), "rules.gas.refill_threshold_pct", "percentage"),
    (rules(kits={"first_aid": {}}), "rules.kits.first_aid.kit_price", "needs its price"),
    (rules(late={**LATE, "rate_per_block": "25 EUR"}), "rules.late.rate_per_block", "with a point and no unit"),
    (rules(late={**LATE, "block_min": 0}), "rules.late.block_min", "above 0"),
    (rules(distance={**DISTANCE, "tiers": []}), "rules.distance.tiers", "up_to null"),
    (rules(distance={**DISTANCE, "tiers": [{"up_to": "5", "rate": "1"}]}), "rules.distance.tiers", "up_to null"),
    (
        rules(distance={**DISTANCE, "tiers": [{"up_to": "5", "rate": "1"}, {"up_to": "5", "rate": "1"}, *TIERS]}),
        "rules.distance.tiers",
        "reach further",
    ),
    ({**rules(distance=DISTANCE), **rental(charge_days=0)}, "rental.charge_days", "1 or more"),
    (rules(admin={"per_damage_event": "1", "damage_pct": "1"}), "rules.admin.damage_pct", "not both"),
    (rules(admin={"damage_min": "2", "damage_max": "1"}), "rules.admin.damage_max", "may be swapped"),
    (rules(admin={"damage_min": "0.50", "damage_max": "0"}), "rules.admin.damage_max", "may be swapped"),
]

DESK = [
    ({"prepaid": [extra(limits={"late_minutes": 60, "late_blocks": 1})]}, "prepaid[0].limits.late_blocks", "not both"),
    ({"prepaid": [extra(limits={"fuel_tanks": -1})]}, "prepaid[0].limits.fuel_tanks", "-1 is below 0"),
    ({"waivers": [WAIVER]}, "waivers[0].percent", "one and not both"),
    ({"waivers": [{**WAIVER, "percent": 101}]}, "waivers[0].percent", "101 is above 100"),
    ({"waivers": [{**WAIVER, "percent": 1, "second_approver": "A"}]}, "waivers[0].second_approver", "another person"),
    ({"credits": [{"code": "GOODWILL", "ref": "x", "amount": "-1"}]}, "credits[0].amount", "positive amount"),
    ({"manual_lines": [{**MANUAL, "second": "A"}]}, "manual_lines[0].second", "needs two"),
    ({"manual_lines": [{**MANUAL, "tax_class": "odd"}]}, "manual_lines[0].tax_class", '"odd"'),
    ({"notices": [{"kind": "toll", "ref": "t", "amount": "1", "penalty": "2"}]}, "notices[0].penalty", "1 or less can"),
    ({"gas_receipts": [RECEIPT]}, "gas_receipts[0].currency", "card_amount in EUR"),
    ({"events": [event(), event()]}, "events[1].id", "cannot both be E1"),
    (
        {"corrections": [correction := {"field": "legs[0].odo_out", "was": 8, "now": 6, "evidence": "e", "by": "A"}]},
        "corrections[0].field",
        "Nothing stands at",
    ),
    (
        {"legs": [{"unit": "U1", "odo_out": 7}], "corrections": [correction]},
        "corrections[0].now",
        "holds 7, not the corrected 6",
    ),
    ({"corrections": [{**correction, "field": "rules.fuel.price_per_litre"}]}, "corrections[0].field", "never a price"),
    ({"corrections": [{**correction, "field": "tax.rate"}]}, "corrections[0].field", "never a price"),
    ({"corrections": [{**correction, "field": "currency.code"}]}, "corrections[0].field", "never a price"),
    ({"corrections": [{**correction, "evidence": " "}]}, "corrections[0].evidence", "words in quotation marks"),
]

WHOLE = [
    ({"currency": {"code": "EURO"}}, "currency.code", "not a currency code"),
    ({"currency": {"code": "EUR", "exponent": 0}}, "currency.exponent", "EUR has 2 digits"),
    ({"time_zone": "Mars/Base"}, "time_zone", "IANA"),
    ({"time_zone": 1}, "time_zone", "words in quotation marks"),
    ({"tax": {"rate": "20"}}, "tax.rate", '"0.20" is 20 %'),
    ({"tax": {"classes": {"FUEL": "reduced"}}}, "tax.classes.FUEL", "belongs into tax.rates"),
    ({"legs": {}}, "legs", "a list in brackets"),
    ({"legs": [1]}, "legs[0]", "an object in braces"),
    ({"rules": {"kits": []}}, "rules.kits", "an object in braces"),
    ({"legs": [{"unit": "U1", "fuel": {"tank_l": 80.5}}]}, "legs[0].fuel.tank_l", "decimal string"),
    ({"legs": [{"unit": "U1", "fuel": {"tank_l": True}}]}, "legs[0].fuel.tank_l", "This is true"),
    ({"waste": {"toilet_rinsed": "no"}}, "waste.toilet_rinsed", "only true or false"),
    ({"cleaning": {"interior": {"tier": "dirty"}}}, "cleaning.interior.tier", "none, standard"),
    ({"cleaning": {"roof": "heavy"}}, "cleaning.roof", "interior, exterior"),
]


@pytest.mark.parametrize(("parts", "path", "words"), [*READINGS, *TIMES, *RULES, *DESK, *WHOLE])
def test_what_cannot_be(parts: dict[str, Any], path: str, words: str) -> None:
    assert words in problems(**parts)[path]


def test_the_instruments_doubt_has_to_be_known() -> None:
    terms = rules(fuel={**FUEL, "tolerance_mode": "instrument"}, gas={**GAS, "tolerance_mode": "instrument"})
    legs = [{**litres("80", "50", half_width_out_l="1")["legs"][0], "gas": [cylinder("16.5", None)]}]
    assert list(problems(**terms, legs=legs)) == ["legs[0].fuel.half_width_in_l", "legs[0].gas[0].half_width_out_kg"]


def test_the_half_width_of_each_reading_is_asked_for() -> None:
    terms = rules(fuel={**FUEL, "tolerance_mode": "instrument"}, gas={**GAS, "tolerance_mode": "instrument"})
    legs = [{**litres("80", "50")["legs"][0], "gas": [cylinder("16.5", "14.1", half_width_out_kg="0.1")]}]
    assert problems(**terms, legs=legs) == {
        f"legs[0].{name}": f"The tolerance mode is instrument: the half-width of this {kind} is missing."
        for name, kind in (
            ("fuel.half_width_out_l", "reading"),
            ("fuel.half_width_in_l", "reading"),
            ("gas[0].half_width_in_kg", "weighing"),
        )
    }


def test_litres_of_the_pump_need_their_measure_and_a_level() -> None:
    leg = {"unit": "U1", "fuel": {"tank_l": "90", "pump_litres": "5"}}
    assert list(problems(**rules(fuel=FUEL), legs=[leg])) == ["legs[0].fuel.pump_litres", "legs[0].fuel.out"]


def test_a_kit_item_without_a_price() -> None:
    kit = {"mode": "per_item", "items": {"bandage": "4.50"}}
    told = problems(**rules(kits={"first_aid": kit}), kits=[{"kit": "first_aid", "missing": ["bandage", "scissors"]}])
    assert told == {"kits[0].missing[1]": '"scissors" has no price in this kit; priced items are bandage.'}


@pytest.mark.parametrize(
    ("parts", "path", "near"),
    [
        ({"legz": []}, "legz", "nearest known key is legs"),
        (
            rules(fuel={**FUEL, "price_per_liter": "2"}),
            "rules.fuel.price_per_liter",
            "nearest known key is price_per_litre",
        ),
        ({"legs": [{"unit": "U1", "zzz": 1}]}, "legs[0].zzz", "known keys are unit, fuel"),
    ],
)
def test_an_unknown_key_is_never_ignored(parts: dict[str, Any], path: str, near: str) -> None:
    assert near in problems(**parts)[path]


@pytest.mark.parametrize(
    ("whole", "said"), [(None, "null"), ([], "a list"), ("text", '"text"'), (5, "the number 5"), (True, "true")]
)
def test_what_is_no_object(whole: Any, said: str) -> None:
    with pytest.raises(DocumentError, match=f"This is {said}; a case is an object in braces"):
        parse(whole)


def test_everything_that_is_missing_is_named() -> None:
    assert list(problems({})) == ["currency", "time_zone", "tax", "rental", "rules"]


def test_every_problem_is_told_at_once() -> None:
    told = problems(currency={"code": "EURO"}, legs=[fuel_leg(9, 8)], waste={"grey_pct": "x"})
    assert list(told) == ["currency.code", "legs[0].fuel.out", "waste.grey_pct"]


def test_a_problem_is_path_and_sentence() -> None:
    assert str(Problem("legs[0]", "Gone.")) == "legs[0]: Gone."
    assert str(Problem("", "Gone.")) == "Gone."


@pytest.mark.parametrize("now", ["6.0", 6, "6"])
def test_a_correction_that_holds(now: Any) -> None:
    told = {"field": "legs[0].fuel.out", "was": 8, "now": now, "evidence": "dash photo", "by": "supervisor"}
    assert parse(document(legs=[fuel_leg(6, 6)], corrections=[told])).corrections[0].by == "supervisor"


def test_a_correction_of_words() -> None:
    told = {"field": "events[0].cause", "was": "post", "now": "gate", "evidence": "film", "by": "supervisor"}
    assert parse(document(events=[event(cause="gate")], corrections=[told])).corrections


def test_a_correction_beyond_the_list() -> None:
    told = {"field": "legs[7].fuel.out", "was": 8, "now": 6, "evidence": "film", "by": "supervisor"}
    assert "Nothing stands" in problems(corrections=[told])["corrections[0].field"]


def test_what_just_can_be() -> None:
    """A least of nothing, bounds that are one, and cylinders that are not there to be weighed."""
    gone = [cylinder("16.5", "3.0", missing=True), cylinder("16.5", "3.0", name="B", foreign_cylinder=True)]
    for admin in ({"damage_min": "0", "damage_max": "0.50"}, {"damage_min": "5", "damage_max": "5"}):
        assert parse(document(rules={"admin": admin}, legs=[gas_leg(*gone)])).rules.admin.damage_max
