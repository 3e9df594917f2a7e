"""From booking to settled statement through the actions, with the sums worked out by hand."""

import json
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest

from handover.acting import CannotBe
from handover.charges import parse, price
from handover.rental.models import Rental
from handover.statement.actions import draw_up, leave_unsigned, settle, sign_statement
from handover.statement.models import Statement
from shared.access.models import Person
from tests.factories import BACK_AT, NINE, ExtraOfferFactory, RentalFactory, an_act
from tests.playing import STROKES, come_back, go

pytestmark = pytest.mark.django_db
LATER = BACK_AT + timedelta(hours=3)


@pytest.fixture
def out(isla: Person) -> Rental:
    """Left with 82 L and 11.7 kg gross, 20 L of fuel prepaid."""
    rental = RentalFactory(extras=[ExtraOfferFactory()])
    go(rental, isla, diesel="82", odometer="41206 mi", gas_front="11.7")
    return rental


@pytest.fixture
def back(out: Rental, callum: Person) -> Rental:
    """Came back 1 h 47 late with 47.5 L, 9.1 kg gross and the first aid seal broken."""
    come_back(out, callum, seal="broken", diesel="47.5", odometer="42018 mi", gas_front="9.1")
    return out


@pytest.fixture
def statement(back: Rental, callum: Person) -> Statement:
    return draw_up(back, act=an_act(callum, at=LATER))


def lines(statement: Statement) -> dict[str, dict[str, Any]]:
    return {line["code"]: line for line in json.loads(statement.result)["lines"]}


def test_fuel_is_short_beyond_what_the_gauge_can_tell(statement: Statement) -> None:
    """82 - 47.5 = 34.5 L, less 1.5 + 1.5, is 31.5 L at 1.62; 20 L of them are prepaid."""
    fuel = lines(statement)["FUEL"]
    assert (fuel["raw"], fuel["covered"], fuel["amount"]) == ("51.03", "32.40", "18.63")


def test_every_line(statement: Statement) -> None:
    """Gas 2.4 kg x 4.60; kit 42.00; late 107 minutes are two begun hours at 25.00."""
    due = {code: line["amount"] for code, line in lines(statement).items()}
    assert due == {"FUEL": "18.63", "GAS": "11.04", "SAFETY_KIT": "42.00", "LATE": "50.00"}
    assert statement.total == Decimal("121.67")


def test_the_price_comes_out_again_byte_for_byte(statement: Statement) -> None:
    assert price(parse(json.loads(statement.inputs))).as_bytes().decode() == statement.result


def test_a_source_says_who_read_what_and_when(statement: Statement) -> None:
    source = json.loads(statement.inputs)["sources"]["legs[0].fuel.in_l"]
    assert (source["who"], source["at"]) == ("Callum Reid", "2026-08-18T12:47:00+01:00")


def test_no_pickup_reading_no_line(isla: Person, callum: Person) -> None:
    rental = RentalFactory()
    go(rental, isla, odometer="41206 mi")
    come_back(rental, callum, at=BACK_AT, diesel="10", odometer="42018 mi")
    result = json.loads(draw_up(rental, act=an_act(callum, at=LATER)).result)
    assert result["lines"] == []
    assert "no_baseline" in {finding["reason"] for finding in result["findings"] if finding["code"] == "FUEL"}


def test_unchanged_is_not_drawn_up_again(statement: Statement, callum: Person) -> None:
    assert draw_up(statement.rental, act=an_act(callum, at=LATER)) == statement


def test_settled_with_both_signatures(statement: Statement, callum: Person) -> None:
    for role in ("customer", "staff"):
        sign_statement(
            statement, role=role, name=role, strokes=STROKES, seen_sha256=statement.digest, act=an_act(callum, at=LATER)
        )
    settle(statement, act=an_act(callum, at=LATER))
    assert Rental.objects.get().state == "settled"


def test_settled_without_the_customer_needs_the_reason(statement: Statement, callum: Person) -> None:
    with pytest.raises(CannotBe, match="Unsigned needs its reason"):
        leave_unsigned(statement, outcome="refused", reason=" ", name="Maren", act=an_act(callum, at=LATER))
    leave_unsigned(statement, outcome="refused", reason="Wants to think", name="Maren", act=an_act(callum, at=LATER))
    with pytest.raises(CannotBe, match="Still to sign: staff"):
        settle(statement, act=an_act(callum, at=LATER))


def test_a_signature_is_bound_to_what_was_shown(statement: Statement, callum: Person) -> None:
    with pytest.raises(CannotBe, match="priced again since"):
        sign_statement(
            statement,
            role="customer",
            name="Maren",
            strokes=STROKES,
            seen_sha256="0" * 64,
            act=an_act(callum, at=LATER),
        )


def test_nothing_is_priced_while_it_is_out(out: Rental, callum: Person) -> None:
    with pytest.raises(CannotBe, match="finish the return first"):
        draw_up(out, act=an_act(callum, at=NINE))
