"""Pricing documents for the tests: a plain rental of Larkmoor Campers, with the parts that a test names."""

from collections.abc import Mapping
from typing import Any

from handover.charges import Finding, Line, Priced, parse, price

OUTSIDE = ["DAMAGE", "LOSS_OF_USE", "TOLL", "FINE"]
HOURS = {
    "mon": ["08:30", "17:00"],
    "tue": ["08:30", "17:00"],
    "wed": ["08:30", "17:00"],
    "thu": ["08:30", "17:00"],
    "fri": ["08:30", "17:00"],
    "sat": ["08:30", "12:00"],
    "sun": None,
}
LATE = {"grace_min": 30, "block_min": 60, "rate_per_block": "25.00", "daily_cap": "140.00", "count_from": "scheduled"}
FUEL = {"policy": "same_to_same", "price_per_litre": "2.00"}
GAS = {"policy": "by_weight", "price_per_kg": "5.00", "tolerance_kg": "0.2"}


def document(**parts: Any) -> dict[str, Any]:
    """A week from 3 to 10 May, deposit 1500.00, tax of 20 % contained; `rental` and `tax` parts are added to it."""
    rental = {
        "pickup_at": "2026-05-03T14:00",
        "charge_days": 7,
        "scheduled_return_at": "2026-05-10T10:00",
        "deposit_held": "1500.00",
    }
    tax = {"mode": "inclusive", "rate": "0.20", "rounding": "per_line", "outside_scope": OUTSIDE}
    return {
        "currency": {"code": "EUR", "exponent": 2},
        "time_zone": "Europe/Berlin",
        "rules": {},
        "legs": [{"unit": "U1"}],
        **parts,
        "tax": {**tax, **parts.get("tax", {})},
        "rental": {**rental, **parts.get("rental", {})},
    }


def priced(**parts: Any) -> Priced:
    return price(parse(document(**parts)))


def amounts(statement: Priced) -> dict[str, str]:
    """What is due by code and ref, in the order of the lines."""
    return {f"{line.code} {line.ref}": str(line.amount) for line in statement.lines}


def due(**parts: Any) -> dict[str, str]:
    return amounts(priced(**parts))


def total(statement: Priced) -> str:
    return str(statement.totals.total)


def reasons(statement: Priced) -> dict[str, str]:
    """Why what was checked is not charged, by code and ref."""
    return {f"{finding.code} {finding.ref}": finding.reason.value for finding in statement.findings}


def finding(statement: Priced, code: str) -> Finding:
    return next(one for one in statement.findings if one.code == code)


def line(statement: Priced, code: str) -> Line:
    return next(one for one in statement.lines if one.code == code)


def fuel_leg(out: Any, back: Any, *, tank: str = "80", steps: int = 8, unit: str = "U1", **more: Any) -> dict[str, Any]:
    return {"unit": unit, "fuel": {"tank_l": tank, "steps": steps, "out": out, "in": back, **more}}


def cylinder(out: Any, back: Any, *, name: str = "A", **more: Any) -> dict[str, Any]:
    return {"id": name, "tare_kg": "5.5", "net_kg": "11", "gross_out_kg": out, "gross_in_kg": back, **more}


def gas_leg(*cylinders: Mapping[str, Any]) -> dict[str, Any]:
    return {"unit": "U1", "gas": list(cylinders)}


def extra(
    name: str = "prepaid", *, price: str = "99.00", bought: str = "2026-04-20T09:00", **more: Any
) -> dict[str, Any]:
    return {"name": name, "purchased_at": bought, "price": price, **more}


def damaged(part: str = "rear bumper", repair: str | None = "780.00", **more: Any) -> dict[str, Any]:
    return {"part": part, "repair": repair, **more}


def event(
    *items: Mapping[str, Any], name: str = "E1", cause: str | None = "scraped gate", **more: Any
) -> dict[str, Any]:
    return {"id": name, "cause": cause, "items": list(items), **more}
