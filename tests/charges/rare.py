"""Short documents, each for workings that the long statements do not have."""

from typing import Any

from tests.charges.documents import FUEL, GAS, HOURS, LATE, cylinder, damaged, document, event, extra, fuel_leg, gas_leg


def fuel(*legs: dict[str, Any], **rate: Any) -> dict[str, Any]:
    return {"rules": {"fuel": {**FUEL, **rate}}, "legs": list(legs)}


def gas(*cylinders: dict[str, Any], **rate: Any) -> dict[str, Any]:
    return {"rules": {"gas": {**GAS, **rate}}, "legs": [gas_leg(*cylinders)]}


def late(returned: str, rental: dict[str, Any] | None = None, **rate: Any) -> dict[str, Any]:
    return {"rules": {"late": {**LATE, **rate}}, "rental": {"returned_at": f"2026-05-{returned}", **(rental or {})}}


def far(*legs: dict[str, Any], rental: dict[str, Any] | None = None, **rate: Any) -> dict[str, Any]:
    tiers = [{"up_to": "300", "rate": "0.40"}, {"up_to": None, "rate": "0.25"}]
    terms = {"included_per_day": "100", "tiers": tiers, **rate}
    return {"rules": {"distance": terms}, "legs": list(legs), "rental": rental or {}}


def damage(*items: dict[str, Any], rate: dict[str, Any] | None = None, **more: Any) -> dict[str, Any]:
    rules = {"damage": {"excess": "300.00", **(rate or {})}, **more.pop("rules", {})}
    return {"rules": rules, "events": [event(*items, **more)]}


DRIVEN = {"unit": "U1", "odo_out": 1000, "odo_in": 2100, "odo_unit": "km"}
TOLLS = [
    {"kind": "toll", "ref": ref, "amount": "30.00", "at": f"2026-05-0{day}T12:00"}
    for ref, day in (("a", 4), ("b", 4), ("c", 5))
]
LITRES = {"tank_l": "90", "out_l": "82.0", "in_l": "47.5", "half_width_out_l": "1.5", "half_width_in_l": "1.25"}
OPTION = {"excess": "100.00", "from": "2026-05-04T00:00", "to": "2026-05-06T00:00", "own_excess": {"glass": "50.00"}}
SIZES = [{"up_to_mm": "50", "price": "90.00"}, {"up_to_mm": "150", "price": "240.00"}]
LEFT = extra("unused", price="40.00", limits={"gas_kg": "5"}, unused_by_operator=True)
SWAPPED = (fuel_leg(8, 4), fuel_leg(2, 3, unit="U2", tank="60"))

RARE: dict[str, dict[str, Any]] = {
    "fuel in litres by the gauge's doubt": fuel({"unit": "U1", "fuel": LITRES}, tolerance_mode="instrument"),
    "fuel in litres, part of a tolerance": fuel(
        {"unit": "U1", "fuel": LITRES}, tolerance_mode="deductible", tolerance_l="2.5"
    ),
    "fuel in steps by the gauge's doubt": fuel(
        fuel_leg(8, 5, half_width_out="0.25"), tolerance_mode="instrument", tolerance_steps=1
    ),
    "fuel to full": fuel(fuel_leg(7, 5), policy="full_to_full", target_when_out_below_full="full"),
    "fuel in litres to full": fuel(
        {"unit": "U1", "fuel": LITRES}, policy="full_to_full", target_when_out_below_full="full"
    ),
    "fuel by the pump": fuel(
        fuel_leg(7, 5, pump_litres="30"),
        measure="pump",
        tolerance_mode="instrument",
        price_per_litre=None,
        pump_price_per_litre="1.60",
        pump_price_factor="1.25",
    ),
    "fuel by the pump into a full tank": fuel(
        fuel_leg(8, 5, pump_litres="30"), measure="pump", tolerance_mode="deductible", tolerance_steps=1
    ),
    "fuel by the pump, its gauge full at pickup": fuel(
        fuel_leg(8, None, pump_litres="30"), measure="pump", tolerance_mode="instrument"
    ),
    "fuel by whole litres": fuel(fuel_leg(8, "7.95"), litres_rounding="up_to_whole"),
    "fuel at the least, its fee inside": fuel(
        fuel_leg(8, 7), min_charge="60.00", min_charge_includes_service_fee=True, service_fee="25.00"
    ),
    "fuel carried with the gauges' doubt": fuel(
        *SWAPPED, swap_leg_policy="carry_litres", tolerance_mode="instrument", service_fee="25.00"
    ),
    "a swap by the operator without a fee": fuel(
        *SWAPPED, swap_leg_policy="settle_each_leg", service_fee="25.00", service_fee_on_operator_swap=False
    ),
    "one fee for the rental": fuel(
        fuel_leg(8, 4),
        fuel_leg(8, 6, unit="U2"),
        swap_leg_policy="settle_each_leg",
        service_fee="25.00",
        service_fee_per="rental",
    ),
    "surplus up to its most": fuel(
        fuel_leg(2, 6), surplus="refund", surplus_price_per_litre="1.80", surplus_max_litres="20"
    ),
    "surplus at the pump's price": fuel(
        fuel_leg(4, 5), surplus="refund", price_per_litre=None, pump_price_per_litre="1.60", pump_price_factor="1.25"
    ),
    "surplus over all legs": fuel(
        fuel_leg(4, 6), fuel_leg(8, 8, unit="U2"), swap_leg_policy="carry_litres", surplus="refund"
    ),
    "surplus set off": {
        "rules": {"fuel": {**FUEL, "surplus": "set_off"}, "waste": {"grey_fee": "12.00"}},
        "legs": [fuel_leg(4, 5)],
        "waste": {"grey_pct": 50},
    },
    "wrong fuel": {
        "rules": {"fuel": {**FUEL, "wrong_fuel": {"drain_fee": "180.00"}}, "damage": {"excess": "100.00"}},
        "legs": [fuel_leg(8, 4, wrong_fuel=True)],
    },
    "exhaust fluid by the litre": fuel(
        {"unit": "U1", "aus32": {"warning_out": False, "warning_in": True, "litres": "10"}},
        aus32={"price_per_litre": "1.10"},
    ),
    "gas by the scale's doubt": gas(
        cylinder("16.5", "14.1", half_width_out_kg="0.1", half_width_in_kg="0.05"), tolerance_mode="instrument"
    ),
    "gas, part of a tolerance": gas(cylinder("16.5", "14.1"), tolerance_mode="deductible"),
    "gas by the cylinder": gas(
        cylinder("16.5", "14.1"),
        cylinder("16.5", None, name="B", missing=True),
        policy="by_cylinder",
        refill_price="32.50",
        refill_threshold_pct="90",
        cylinder_price="95.00",
        service_fee="10.00",
    ),
    "gas for the rental": gas(cylinder("16.5", "9"), flat_use={"price": "20.00", "per": "rental"}),
    "gas by the night": gas(
        cylinder("16.5", None, missing=True), flat_use={"price": "3.50", "per": "night"}, cylinder_price="95.00"
    ),
    "late by a day, blocks and the cap": late("11T18:00"),
    "late by whole days": late("12T10:00"),
    "late beyond the cap": late("10T19:00"),
    "late by the day rule": late("11T15:00", day_rule={"from_hours": 4, "rate": "90.00", "factor": "1.5"}),
    "late over closed days and a wait": late(
        "18T11:10",
        {
            "scheduled_return_at": "2026-05-16T10:00",
            "return_method": "key_drop",
            "operator_waits": [{"from": "2026-05-16T11:00", "to": "2026-05-16T12:30"}],
        },
        opening_hours=HOURS,
        after_hours_fee="45.00",
        count_from="end_of_grace",
    ),
    "late to the next opening": late(
        "16T13:00",
        {"scheduled_return_at": "2026-05-16T10:00", "return_method": "key_drop"},
        opening_hours=HOURS,
        after_hours="deemed_next_opening",
        after_hours_fee="45.00",
        clock="wall",
    ),
    "late and the next customer": late(
        "10T12:00", {"next_booking": {"cost": "80.00", "proof": "hotel invoice"}}, next_booking_cost=True
    ),
    "back early": late("08T09:00", early_return={"day_rate": "80.00", "refund_pct": "50"}),
    "extended": {
        "rental": {
            "extensions": [
                {"days": days, "day_rate": "118.00", "new_return_at": f"2026-05-{10 + days}T10:00"} for days in (1, 2)
            ]
        }
    },
    "far in two tiers": far({**DRIVEN, "odo_in": 2300}),
    "far by each day": far({**DRIVEN, "daily_distance": ["90", "100", "150", "260"]}, pooled=False),
    "far, with deliveries and a pack": far(DRIVEN, rental={"operator_distance": "40"})
    | {"prepaid": [extra("pack", limits={"distance_mi": "50"})]},
    "far in miles": far(
        {**DRIVEN, "odo_unit": "mi"}, {"unit": "U2", "agreed_distance": "55"}, unit="km", min_charge="500.00"
    ),
    "far by the whole amount": far(DRIVEN, tier_mode="whole_amount", charged_days_basis="24h"),
    "far by calendar days": far({**DRIVEN, "odo_in": 2000}, charged_days_basis="calendar_days"),
    "far by nights": far({**DRIVEN, "odo_in": 2000}, charged_days_basis="nights"),
    "a toilet emptied and not rinsed": {
        "rules": {"waste": {"toilet_fee": "90.00"}},
        "waste": {"toilet_pct": 0, "toilet_rinsed": False},
    },
    "a kit beyond its price": {
        "rules": {
            "kits": {
                "first_aid": {"mode": "per_item", "items": {"bandage": "4.50"}, "reseal_fee": "8", "kit_price": "10"}
            }
        },
        "kits": [{"kit": "first_aid", "missing": ["bandage"], "seal_out": "7", "seal_in": "8"}],
    },
    "a broken seal": {
        "rules": {"kits": {"first_aid": {"kit_price": "39"}, "extinguisher": {"kit_price": "72"}}},
        "kits": [
            {"kit": "first_aid", "seal_intact": False, "seal_out": "7"},
            {"kit": "extinguisher", "gauge_out": "green", "gauge_in": "out_of_green"},
        ],
    },
    "damage under options": damage(
        damaged("left", "200.00"),
        damaged("pane", "90.00", group="glass"),
        at="2026-05-05T12:00",
        rate={"options": [OPTION]},
    ),
    "damage under one excess for the rental": damage(damaged("left", "700.00"), rate={"excess_per": "rental"})
    | {"previous_settlement": {"version": 1, "total": "120.00", "excess_paid": "120.00"}},
    "damage grown, by the matrix": damage(
        {"part": "panel", "kind": "scratch", "size_mm": "120", "known_size_mm": "30"},
        rate={"pricing": "matrix", "matrix": {"panel": {"scratch": SIZES}}},
    ),
    "damage grown, by its length": damage(damaged("panel", "120.00", size_mm="60", known_size_mm="45")),
    "damage shared": damage(damaged("left", "200.00"), damaged("right", "333.33")),
    "damage in order": damage(damaged("left", "200.00"), damaged("right", "333.33"), rate={"allocation": "in_order"}),
    "damage recovered by share": damage(damaged("left", "731.13"), recovered="200.00", rate={"recovery": "pro_rata"}),
    "damage recovered with its fee": damage(
        damaged("left", "100.00"), recovered="120.00", rules={"admin": {"per_damage_event": "50.00"}}
    ),
    "damage by the least price": damage(
        damaged("left", "90.00", estimate="80.00", invoice="85.00"), rate={"pricing": "minimum_repair"}
    ),
    "damage by the invoice": damage(
        damaged("left", None, estimate="80.00", invoice="75.00", kind="dent"), rate={"pricing": "invoice"}
    ),
    "damage off the road while late": {
        "rules": {"late": LATE, "damage": {}, "loss_of_use": {"day_rate": "110.00"}},
        "rental": {"returned_at": "2026-05-11T12:00"},
        "events": [event(damaged(), off_road_days=5, off_road_from="2026-05-10", other_work_days=1)],
    },
    "the fee's least": damage(
        damaged("left", "100.00"), rules={"admin": {"damage_pct": "3", "damage_min": "40.00", "damage_max": "60.00"}}
    ),
    "the fee's most": damage(
        damaged("left", "290.00"), rules={"admin": {"damage_pct": "30", "damage_min": "4.00", "damage_max": "60.00"}}
    ),
    "tolls of a day": {
        "rules": {"admin": {"toll_min": "5.00", "toll_pct": "10", "toll_fee_per": "day"}},
        "notices": TOLLS,
    },
    "a toll's penalty": {
        "notices": [{"kind": "toll", "ref": "a", "amount": "30.00", "penalty": "10.00"}],
    },
    "equipment broken and old": {
        "rules": {"equipment": {"floor_pct": "20", "found_within_days": 14, "handling_fee": "5.00"}},
        "equipment": [
            {"item": "chair", "price": "45.00", "age_months": 50, "life_months": 60, "labour": "12.00"},
            {"item": "ramps", "price": "38.00", "age_months": 70, "life_months": 60, "returned_after_days": 14},
            {"item": "grill", "set_price": "60.00", "repair": "55.00"},
        ],
    },
    "prepaid by the tank and the cylinder": {
        "rules": {"fuel": {**FUEL, "service_fee": "25.00"}, "gas": {**GAS, "service_fee": "10.00"}},
        "legs": [{**fuel_leg(8, 4), "gas": [cylinder("16.5", "14.1")]}],
        "prepaid": [extra("tank", limits={"fuel_tanks": 1}), extra("bottle", limits={"gas_cylinders": 1})],
    },
    "prepaid on return": {
        "rules": {
            "waste": {"grey_fee": "40.00", "toilet_fee": "90.00"},
            "kits": {"first_aid": {"kit_price": "39.00"}},
            "late": {**LATE, "opening_hours": HOURS, "after_hours_fee": "45.00"},
            "cleaning": {"interior": {"standard": "60.00", "heavy": "150.00", "specialist": "400.00"}},
        },
        "rental": {"returned_at": "2026-05-10T12:40", "return_method": "key_drop"},
        "waste": {"grey_pct": 50, "toilet_pct": 60},
        "kits": [{"kit": "first_aid", "seal_intact": False}],
        "cleaning": {"interior": {"tier": "specialist", "cause": "smoke"}},
        "prepaid": [
            extra("late", limits={"late_blocks": 1}),
            extra("drop", limits={"after_hours": True}),
            extra("waste", limits={"grey": True, "toilet": True}),
            extra("kit", limits={"kits": ["first_aid"]}),
            extra("clean", cleaning_up_to={"interior": "specialist"}),
        ],
    },
    "all kilograms and litres": {
        "rules": {"fuel": {**FUEL, "service_fee": "25.00"}, "gas": {**GAS, "service_fee": "10.00"}},
        "legs": [{**fuel_leg(8, 4), "gas": [cylinder("16.5", "14.1")]}],
        "prepaid": [extra("litres", limits={"fuel_litres": "55"}), extra("kilograms", limits={"gas_kg": "5"})],
    },
    "never used": {"prepaid": [LEFT]},
    "receipts": {
        "gas_receipts": [
            {"ref": "card", "amount": "389", "currency": "NOK", "card_amount": "34.10", "operator_fault": True},
            {"ref": "till", "amount": "20.00", "reimbursable": True},
        ]
    },
    "a waiver of what is left": {
        **fuel(fuel_leg(8, 4)),
        "waivers": [
            {"code": "FUEL", "percent": 75, "reason": "weather", "approver": "depot manager"},
            {"code": "FUEL", "percent": 50, "reason": "goodwill", "approver": "manager"},
        ],
    },
    "deferred against the deposit": {
        **fuel(fuel_leg(8, 4)),
        "deferred": [{"code": "DAMAGE", "max": "2000", "until": "2026-05-20", "awaiting": "a quote"}],
    },
    "a version after": {**fuel(fuel_leg(8, 4)), "previous_settlement": {"version": 1, "total": "95.50"}},
    "tax on top, by group": {**fuel(fuel_leg(8, 4)), "tax": {"mode": "exclusive", "rounding": "per_group"}},
}

RARE_CASES = [{"id": name, **document(**parts)} for name, parts in RARE.items()]
