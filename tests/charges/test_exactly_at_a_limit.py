"""An amount that is exactly its minimum, cap or excess is neither raised nor held, and shows no step that says so."""

from typing import Any

import pytest

from handover.charges import Sign
from tests.charges.documents import FUEL, GAS, LATE, amounts, damaged, event, fuel_leg, priced
from tests.charges.rare import damage, far

KIT = {"mode": "per_item", "items": {"bandage": "4.50"}, "reseal_fee": "5.50", "kit_price": "10.00"}
TOLL = {"kind": "toll", "ref": "a", "amount": "50.00"}
STOOD = {"damage": {}, "loss_of_use": {"day_rate": "110.00", "max_days": 3}}
SURPLUS = {"surplus": "refund", "surplus_max_litres": "10"}


def item(**more: Any) -> dict[str, Any]:
    return {"equipment": [{"item": "chair", **more}]}


AT_A_LIMIT = [
    ({"rules": {"fuel": {**FUEL, "min_charge": "20.00"}}, "legs": [fuel_leg(8, 7)]}, "FUEL U1", "20.00"),
    ({"rules": {"fuel": {**FUEL, **SURPLUS}}, "legs": [fuel_leg(4, 5)]}, "FUEL_CREDIT U1", "-20.00"),
    (far({"unit": "U1", "agreed_distance": "1000"}, min_charge="120.00"), "DISTANCE tier 1", "120.00"),
    (
        {"rules": {"late": {**LATE, "daily_cap": "100.00"}}, "rental": {"returned_at": "2026-05-10T14:00"}},
        "LATE return",
        "100.00",
    ),
    ({"rules": {"kits": {"box": KIT}}, "kits": [{"kit": "box", "missing": ["bandage"]}]}, "SAFETY_KIT box", "10.00"),
    (item(price="45.00", repair="45.00"), "EQUIPMENT chair", "45.00"),
    (item(qty=2, part_price="30.00", set_price="60.00"), "EQUIPMENT chair", "60.00"),
    (damage(damaged("left", "300.00")), "DAMAGE left", "300.00"),
    ({"rules": STOOD, "events": [event(damaged(), off_road_days=3)]}, "LOSS_OF_USE E1", "330.00"),
    (damage(damaged("left", "300.00"), rules={"admin": {"damage_pct": "10", "damage_min": "30"}}), "ADMIN E1", "30.00"),
    (damage(damaged("left", "300.00"), rules={"admin": {"damage_pct": "10", "damage_max": "30"}}), "ADMIN E1", "30.00"),
    ({"rules": {"admin": {"toll_pct": "10", "toll_min": "5.00"}}, "notices": [TOLL]}, "TOLL_ADMIN a", "5.00"),
    (
        {
            "rules": {"gas": {**GAS, "receipts_limit": "20.00"}},
            "gas_receipts": [{"ref": "till", "amount": "20.00", "operator_fault": True}],
        },
        "GAS_RECEIPT till",
        "-20.00",
    ),
    (
        {
            "rules": {"fuel": {**FUEL, "surplus": "set_off"}, "waste": {"grey_fee": "20.00"}},
            "legs": [fuel_leg(4, 5)],
            "waste": {"grey_pct": 50},
        },
        "FUEL_CREDIT U1",
        "-20.00",
    ),
]


@pytest.mark.parametrize(("parts", "key", "amount"), AT_A_LIMIT)
def test_nothing_is_said_of_a_limit_that_does_nothing(parts: dict[str, Any], key: str, amount: str) -> None:
    statement = priced(**parts)
    assert amounts(statement)[key] == amount
    line = next(one for one in statement.lines if f"{one.code} {one.ref}" == key)
    assert not {step.sign for step in line.workings} & {Sign.AT_LEAST, Sign.AT_MOST}
    assert line.cover == ()


def test_a_waiver_of_exactly_what_is_left() -> None:
    waiver = {"code": "FUEL", "percent": 50, "reason": "weather", "approver": "depot manager"}
    statement = priced(rules={"fuel": FUEL}, legs=[fuel_leg(8, 4)], waivers=[waiver, waiver])
    assert [str(line.amount) for line in statement.lines] == ["80.00", "-40.00", "-40.00"]
    assert all(step.sign is not Sign.AT_LEAST for line in statement.lines for step in line.workings)


def test_a_waiver_of_exactly_what_its_approver_may() -> None:
    waiver = {"code": "FUEL", "amount": "50", "reason": "weather", "approver": "host"}
    assert priced(rules={"fuel": FUEL}, legs=[fuel_leg(8, 4)], waivers=[waiver]).lapsed == ()
    more = {**waiver, "amount": "50.01"}
    assert len(priced(rules={"fuel": FUEL}, legs=[fuel_leg(8, 4)], waivers=[more]).lapsed) == 1
