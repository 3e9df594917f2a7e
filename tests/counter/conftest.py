"""A rental that is back and priced: 31.5 L and 2.4 kg short, the first aid kit opened, 107 minutes late."""

from datetime import timedelta
from typing import Any

import pytest

from fleet.models import Branch
from handover.counter.evidence import Evidence
from handover.photo.actions import take_in
from handover.rental.models import Rental
from handover.statement.actions import draw_up, settle, sign_statement
from handover.statement.models import Statement
from shared.access.models import Person
from tests.factories import (
    BACK_AT,
    RULES,
    ExtraOfferFactory,
    PersonFactory,
    RateCardFactory,
    RentalFactory,
    ReturnBayFactory,
    UnitFactory,
    an_act,
)
from tests.kept import anew
from tests.photos.pictures import quarters, saved
from tests.playing import STROKES, come_back, go

LATER = BACK_AT + timedelta(hours=3)
MORE_RULES: dict[str, Any] = RULES | {
    "cleaning": {"interior": {"standard": "55.00", "heavy": "140.00"}, "odour": {"specialist": "320.00"}},
    "waste": {"grey_fee": "35.00", "toilet_fee": "60.00", "rubbish_bag_fee": "8.00"},
    "equipment": {"floor_pct": "20", "found_within_days": 14, "handling_fee": "5.00"},
    "damage": {"matrix": {"door": {"scratch": [{"up_to_mm": None, "price": "400.00"}]}}},
    "admin": {"per_damage_event": "40.00"},
}


@pytest.fixture
def rates(inverlark: Branch) -> None:
    """The rate card that is frozen at pickup, with cleaning, tanks, equipment and damage."""
    RateCardFactory(branch=inverlark, rules=MORE_RULES)


@pytest.fixture(scope="module")
def kept_out(kept_for_module: None) -> Rental:
    """Left with 82 L and 11.7 kg gross, 20 L prepaid."""
    RateCardFactory(rules=MORE_RULES)
    rental = RentalFactory(leg=UnitFactory(odometer_km=41_000), extras=[ExtraOfferFactory()])
    go(rental, PersonFactory(), diesel="82", odometer="41206", gas_front="11.7")
    return rental


@pytest.fixture(scope="module")
def kept_back(kept_out: Rental) -> Rental:
    come_back(kept_out, ReturnBayFactory(), seal="broken", diesel="47.5", odometer="42018", gas_front="9.1")
    return kept_out


@pytest.fixture(scope="module")
def kept_statement(kept_back: Rental) -> Statement:
    """18.63 fuel, 11.04 gas, 42.00 kit, 50.00 late: 121.67."""
    return draw_up(kept_back, act=an_act(ReturnBayFactory(), at=LATER))


@pytest.fixture(scope="module")
def kept_settled(kept_statement: Statement) -> Statement:
    close(kept_statement, ReturnBayFactory())
    return kept_statement


@pytest.fixture
def out(kept_out: Rental, db: None) -> Rental:
    return anew(kept_out)


@pytest.fixture
def back(kept_back: Rental, out: Rental) -> Rental:
    return out


@pytest.fixture
def statement(kept_statement: Statement, back: Rental) -> Statement:
    return back.statements.get()


@pytest.fixture
def settled(kept_settled: Statement, statement: Statement) -> Statement:
    return statement


def close(statement: Statement, by: Person) -> None:
    for role in ("customer", "staff"):
        sign_statement(
            statement, role=role, name=role, strokes=STROKES, seen_sha256=statement.digest, act=an_act(by, at=LATER)
        )
    settle(statement, act=an_act(by, at=LATER))
    statement.rental.refresh_from_db()


@pytest.fixture(scope="session")
def shot() -> bytes:
    return saved(quarters(), "JPEG")


@pytest.fixture
def a_photo(shot: bytes) -> Evidence:
    return Evidence(taken=(take_in(shot, zone="Europe/London"),))
