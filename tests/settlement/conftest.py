"""A rental that is back, and one that is settled at 154.07."""

from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal

import pytest

from handover.rental.models import Rental
from handover.settlement.actions import Money, hold_deposit
from handover.settlement.models import Movement
from handover.statement.actions import draw_up, settle, sign_statement
from handover.statement.models import Statement
from shared.access.models import Person
from tests.factories import BACK_AT, NINE, PersonFactory, RentalFactory, ReturnBayFactory, an_act
from tests.kept import anew
from tests.playing import STROKES, come_back, go

EVENING = BACK_AT + timedelta(hours=8)
TO_COLLECT = Decimal("154.07")


def sign_and_settle(rental: Rental, by: Person) -> Statement:
    statement = draw_up(rental, act=an_act(by, at=EVENING))
    for role in ("customer", "staff"):
        sign_statement(
            statement, role=role, name=role, strokes=STROKES, seen_sha256=statement.digest, act=an_act(by, at=EVENING)
        )
    settle(statement, act=an_act(by, at=EVENING))
    rental.refresh_from_db()
    return statement


@pytest.fixture(scope="module")
def kept_back(kept_for_module: None) -> Rental:
    """Fuel 31.5 L x 1.62 = 51.03, gas 2.4 kg x 4.60 = 11.04, kit 42.00, late 50.00: 154.07."""
    rental = RentalFactory()
    go(rental, PersonFactory(), diesel="82", odometer="41206 mi", gas_front="11.7")
    come_back(rental, ReturnBayFactory(), seal="broken", diesel="47.5", odometer="42018 mi", gas_front="9.1")
    return rental


@pytest.fixture(scope="module")
def kept_settled(kept_back: Rental) -> Rental:
    assert sign_and_settle(kept_back, ReturnBayFactory()).total == TO_COLLECT
    return kept_back


@pytest.fixture
def back(kept_back: Rental, db: None) -> Rental:
    return anew(kept_back)


@pytest.fixture
def settled(kept_settled: Rental, back: Rental) -> Rental:
    return back


@pytest.fixture
def held(callum: Person) -> Callable[..., Movement]:
    """Notes a card's hold that lapses on 30 August."""

    def note(rental: Rental, amount: str = "500.00", days: int = 12) -> Movement:
        lapses = (BACK_AT + timedelta(days=days)).date()
        money = Money(Decimal(amount), "card", "AUTH 4417")
        return hold_deposit(rental=rental, money=money, expires_on=lapses, act=an_act(callum, at=NINE))

    return note
