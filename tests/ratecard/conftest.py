"""A card that says something in every section, and who may write one."""

from typing import Any

import pytest
from django.test import Client

from handover.rental.models import RateCard
from shared.access.models import Person
from tests.factories import RULES, RateCardFactory, UnitFactory

FULL: dict[str, Any] = RULES | {
    "kits": {"first_aid": {"mode": "per_item", "items": {"burn dressing": "7.20", "bandage 2.5 m": "4.50"}}},
    "distance": {
        "unit": "mi", "included_per_day": None, "pooled": True,
        "tiers": [{"up_to": "300", "rate": "0.25"}, {"up_to": None, "rate": "0.40"}],
    },
    "cleaning": {"interior": {"standard": "55.00", "heavy": "140.00"}},
    "waste": {"grey_fee": "35.00", "grey_threshold_pct": "25"},
    "equipment": {"floor_pct": "20", "prices": {"straps": "9.50"}},
    "damage": {
        "pricing": "matrix",
        "excluded": ["roof", "wrong fuel"],
        "fair_wear_max_mm": {"scratch": "25"},
        "matrix": {
            "bumper": {"scuff": [{"up_to_mm": "150", "price": "180.00"}, {"up_to_mm": None, "price": "350.00"}]},
        },
        "options": [{"own_excess": {"tyres": "200.00"}}],
    },
    "loss_of_use": {"day_rate": "90.00"},
    "admin": {"per_fine": "30.00"},
    "prepaid": {"late_purchase": "from_now"},
    "waivers": {"limits": {"host": "50", "manager": None}},
}  # fmt: skip


@pytest.fixture
def card(maeve: Person) -> RateCard:
    """Card 7, published, full; the branch has unit 407."""
    UnitFactory()
    return RateCardFactory(rules=FULL)


@pytest.fixture
def draft(card: RateCard) -> RateCard:
    return RateCardFactory(number=8, rules=FULL, draft=True, valid_from="2027-01-04")


@pytest.fixture
def as_maeve(client: Client, maeve: Person) -> Client:
    client.force_login(maeve)
    return client
