"""The part of the pricing document that was settled at pickup: times, rules, Extras. No query, no walk-round."""

from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from typing import Any

from handover.rental.models import Rental
from shared.clock import local
from shared.money import exponent


def promise_document(rental: Rental) -> dict[str, Any]:
    """A whole document by itself, of a rental that has left: what its rules say of something that has not happened."""
    frozen: dict[str, Any] = rental.frozen or {}
    return {
        "id": f"{rental.number}",
        "currency": {"code": frozen["currency"], "exponent": exponent(frozen["currency"])},
        "time_zone": frozen["zone"],
        "tax": frozen["tax"],
        "rental": {
            "pickup_at": wall(rental.frozen_at, frozen["zone"]) if rental.frozen_at else None,
            "charge_days": frozen["charged_days"],
            "scheduled_return_at": wall(rental.planned_back_at, frozen["zone"]),
            "deposit_held": _amount(rental.deposit_held, rental.currency),
        },
        "rules": rules_for_pricing(frozen),
        "prepaid": [_extra(extra) for extra in frozen["extras"]],
    }


def wall(when: datetime, zone: str) -> str:
    """Times carry their offset: on the night the clocks go back the same wall time happens twice."""
    return local(when, zone).isoformat(timespec="minutes")


def _amount(amount: Decimal, currency: str) -> str:
    return f"{amount:.{exponent(currency)}f}"


def rules_for_pricing(frozen: Mapping[str, Any]) -> dict[str, Any]:
    """The rate card's rules with this rental's own excess."""
    rules = dict(frozen["rules"])
    rules["damage"] = dict(rules.get("damage", {})) | {"excess": frozen["excess"]}
    # Replacement prices of the rate card travel in each equipment line instead.
    rules["equipment"] = {key: value for key, value in rules.get("equipment", {}).items() if key != "prices"}
    return {key: value for key, value in rules.items() if value}


def _extra(extra: Mapping[str, Any]) -> dict[str, Any]:
    return {"name": extra["name"], "purchased_at": extra["purchased_at"], "price": extra["price"]} | dict(
        extra["covers"]
    )
