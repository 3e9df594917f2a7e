"""The demo's rate cards and the Extras that its branches sell."""

import json
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any, NamedTuple

from fleet.models import Branch
from handover.rental.models import ExtraOffer, RateCard


class DemoExtra(NamedTuple):
    """price by the branch's currency."""

    code: str
    name: str
    covers: dict[str, Any]
    price: dict[str, Decimal]
    sold_text: str


EXTRAS = (
    DemoExtra(
        "fuel-20", "20 L of fuel prepaid", {"limits": {"fuel_litres": "20"}},
        {"GBP": Decimal("29.00"), "CAD": Decimal("36.00")},
        "Pays the first 20 L that are missing when you come back. Not AUS 32, not wrong fuel.",
    ),
    DemoExtra(
        "gas", "Gas prepaid", {"limits": {"gas_cylinders": 2}},
        {"GBP": Decimal("24.00"), "CAD": Decimal("38.00")},
        "Pays the gas you use from both cylinders. Not a cylinder that does not come back.",
    ),
    DemoExtra(
        "late-hour", "1 hour late prepaid", {"limits": {"late_minutes": "60"}},
        {"GBP": Decimal("15.00"), "CAD": Decimal("25.00")},
        "Pays one hour of coming back late, after the grace time. Ring us all the same.",
    ),
    DemoExtra(
        "tank", "Prepaid tank", {"limits": {"fuel_tanks": 1}},
        {"GBP": Decimal("139.00"), "CAD": Decimal("145.00")},
        "Bring it back at any level. What is left in the tank is not paid back.",
    ),
    DemoExtra(
        "cleaning", "Standard cleaning", {"cleaning_up_to": {"interior": "standard"}},
        {"GBP": Decimal("45.00"), "CAD": Decimal("79.00")},
        "Pays a standard clean inside, once. Not smoke, not pets, not the cassette.",
    ),
)  # fmt: skip


def load_rate_cards(branches: Mapping[str, Branch]) -> None:
    """A rate card that is here already stays as it is: a rental may have been signed with it."""
    cards = json.loads((Path(__file__).parent / "rate_cards.json").read_text(encoding="utf-8"))
    for code, rows in cards.items():
        for row in rows:
            fields = {"valid_from": date.fromisoformat(row["valid_from"]), "note": row["note"], "rules": row["rules"]}
            RateCard.objects.get_or_create(branch=branches[code], number=row["number"], defaults=fields)


def load_extras(branches: Mapping[str, Branch]) -> None:
    for branch in branches.values():
        for row in EXTRAS:
            fields = {
                "name": row.name,
                "covers": row.covers,
                "price": row.price[branch.currency],
                "sold_text": row.sold_text,
            }
            ExtraOffer.objects.get_or_create(branch=branch, code=row.code, defaults=fields)
