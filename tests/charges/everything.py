"""Long statements, in which every rule writes at least one line."""

from typing import Any

from tests.charges.documents import FUEL, GAS, HOURS, LATE, cylinder, damaged, document, event, extra, fuel_leg

SMALL = {"name": "manager", "reason": "small amount", "approver": "depot manager"}

RULES: dict[str, Any] = {
    "fuel": {
        **FUEL,
        "service_fee": "25.00",
        "litres_rounding": "0.1",
        "surplus": "set_off",
        "aus32": {"fixed": "35.00"},
    },
    "gas": {**GAS, "service_fee": "10.00", "cylinder_price": "95.00", "foreign_credit": "30.00", "receipts": "all"},
    "kits": {
        "first_aid": {"mode": "per_item", "items": {"bandage": "4.50"}, "reseal_fee": "8.00", "kit_price": "10.00"},
        "extinguisher": {"kit_price": "72.00"},
    },
    "late": {
        **LATE,
        "after_hours": "deemed_next_opening",
        "after_hours_fee": "45.00",
        "opening_hours": HOURS,
        "count_from": "end_of_grace",
        "next_booking_cost": True,
    },
    "distance": {
        "unit": "km",
        "included_per_day": "100",
        "tiers": [{"up_to": "300", "rate": "0.40"}, {"up_to": None, "rate": "0.25"}],
        "min_charge": "160.00",
    },
    "cleaning": {"interior": {"standard": "60.00", "heavy": "150.00"}, "exterior": {"hour_rate": "48.00"}},
    "waste": {"grey_fee": "40.00", "toilet_fee": "90.00", "rubbish_bag_fee": "8.00"},
    "equipment": {"floor_pct": "20", "found_within_days": 14, "handling_fee": "5.00"},
    "damage": {"excess": "1000.00"},
    "loss_of_use": {"day_rate": "110.00", "factor": "0.60", "max_days": 3, "inside_excess": True},
    "admin": {"damage_pct": "3", "damage_max": "25.00", "per_fine": "35.00", "toll_min": "5.00", "toll_pct": "10"},
}

LEGS = [
    {
        **fuel_leg(8, "4.3", tank="83"),
        "aus32": {"warning_out": False, "warning_in": True},
        "gas": [
            cylinder("16.5", "13.0", serial_out="S1", serial_in="S2", tare_in_kg="6.0"),
            cylinder("16.5", None, name="B", missing=True),
            cylinder("16.5", None, name="C", foreign_cylinder=True),
        ],
        "odo_out": 1000,
        "odo_in": 2100,
        "odo_unit": "km",
    },
    {**fuel_leg(3, 8, unit="U2", tank="45"), "odo_out": 500, "odo_in": 530, "odo_unit": "mi"},
]

PREPAID = [
    extra("litres", limits={"fuel_litres": "7"}),
    extra("kilograms", limits={"gas_kg": "1.3"}),
    extra("an hour", limits={"late_minutes": 60}),
    extra("clean", cleaning_up_to={"interior": "standard"}),
    extra("late", bought="2026-05-08T19:12", limits={"fuel_tanks": 1}),
]

EVENTS = [
    event(
        damaged("left", "731.13"),
        damaged("tyre", "160.00", tread_now_mm="5.0", tread_new_mm="8.0", tread_min_mm="1.6", excluded=True),
        damaged("door", "219.99", kind="scratch", size_mm="90", known_size_mm="30"),
        at="2026-05-04T12:00",
        off_road_days=6,
        other_work_days=1,
        recovered="111.11",
    ),
    event(damaged("roof", "0.01"), name="E2", cause="branch"),
]

EQUIPMENT = [
    {"item": "chair", "qty": 2, "price": "45.00", "age_months": 31, "life_months": 60, "labour": "12.00"},
    {"item": "ramps", "price": "38.00", "age_months": 70, "life_months": 60, "returned_after_days": 3},
    {"item": "cutlery", "qty": 9, "part_price": "8.00", "set_price": "60.00", "repair": "55.00"},
    {"item": "key", "price": "280.00", "kind": "key", "lock_change": "210.00", "lost_with_address": True},
]

NOTICES = [
    {"kind": "fine", "ref": "notice 1", "amount": "60.00", "penalty": "20.00"},
    {"kind": "fine", "ref": "notice 2", "amount": "60.00", "handling": "driver_nominated"},
    {"kind": "toll", "ref": "toll 1", "amount": "14.80"},
]

WAIVERS = [
    {"code": "CLEANING", "percent": "33.3", **SMALL},
    {"code": "LATE", "ref": "return", "amount": "10.00", **SMALL},
    {"code": "TOILET", "percent": "75", **SMALL},
    {"code": "TOILET", "percent": "75", **SMALL},
    {"code": "GAS", "ref": "Z", "percent": "75", **SMALL},
]
for waiver in WAIVERS:
    waiver.pop("name")

PARTS: dict[str, Any] = {
    "rules": RULES,
    "legs": LEGS,
    "prepaid": PREPAID,
    "cleaning": {"interior": "heavy", "exterior": {"tier": "standard", "hours": "1.1"}},
    "waste": {"grey_pct": 50, "toilet_pct": 60, "rubbish_bags": 3},
    "kits": [{"kit": "first_aid", "missing": ["bandage"]}, {"kit": "extinguisher", "pin_pulled": True}],
    "equipment": EQUIPMENT,
    "events": EVENTS,
    "notices": NOTICES,
    "gas_receipts": [
        {"ref": "receipt 1", "amount": "389.00", "currency": "NOK", "rate": "0.0871", "operator_fault": True}
    ],
    "credits": [{"code": "GOODWILL", "ref": "heating", "amount": "9.99", "reason": "cold night", "approver": "R."}],
    "waivers": WAIVERS,
    "manual_lines": [
        {
            "ref": "spare lamp",
            "amount": "3.33",
            "evidence": "photo 12",
            "by": "Isla M.",
            "second": "Ruth A.",
            "customer_told_on": "2026-05-12",
        }
    ],
    "rental": {
        "returned_at": "2026-05-10T21:40",
        "return_method": "key_drop",
        "next_booking": {"cost": "80.00", "proof": "hotel invoice"},
    },
}


def varied(name: str, **rules: Any) -> dict[str, Any]:
    """The long statement with some of its rules changed."""
    changed = {key: {**RULES[key], **more} for key, more in rules.items()}
    return {"id": name, **document(**{**PARTS, "rules": {**RULES, **changed}})}


DAY_RULE = {"day_rule": {"from_hours": 4, "rate": "90.00", "factor": "1.5"}, "daily_cap": None}
BY_CYLINDER = {"policy": "by_cylinder", "refill_price": "32.50", "refill_threshold_pct": "90"}

EVERYTHING = [
    varied("plain"),
    varied(
        "settled by leg", fuel={"swap_leg_policy": "settle_each_leg", "surplus": "refund", "surplus_max_litres": "5"}
    ),
    varied(
        "whole litres", fuel={"litres_rounding": "up_to_whole", "min_charge": "90.00", "tolerance_mode": "instrument"}
    ),
    varied(
        "deductible", fuel={"tolerance_mode": "deductible", "tolerance_steps": 1, "swap_leg_policy": "settle_each_leg"}
    ),
    varied("by cylinder", gas=BY_CYLINDER),
    varied("gas deductible", gas={"tolerance_mode": "deductible"}),
    varied("day rule", late=DAY_RULE),
    varied("blocks alone", late={"daily_cap": None}),
    varied("in order", damage={"allocation": "in_order"}, loss_of_use={"inside_excess": False}),
    varied("fee at least", admin={"damage_min": "40.00", "damage_max": None}),
    varied("whole amount", distance={"tier_mode": "whole_amount", "min_charge": None}),
    varied("receipts limited", gas={"receipts_limit": "20.00"}),
]
