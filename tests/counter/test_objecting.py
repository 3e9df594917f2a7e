"""Objections in the customer's words, and how they stand."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from handover.acting import CannotBe
from handover.counter.actions import answer_objection, object_to_line
from handover.counter.models import Objection
from handover.statement.actions import draw_up
from handover.statement.models import Statement
from shared.access.models import Person
from shared.ledger.models import Entry, PersonalValue
from tests.counter.conftest import LATER, close
from tests.counter.reading import due, priced_again, result, sentence_on
from tests.factories import an_act

pytestmark = pytest.mark.django_db
WORDS = "I filled up round the corner."
A_WEEK = date(2026, 8, 25)


@pytest.fixture
def objection(statement: Statement, callum: Person) -> Objection:
    return object_to_line(
        statement, code="SAFETY_KIT", ref="first_aid", title="First aid kit", words=WORDS, act=an_act(callum, at=LATER)
    )


def stands(objection: Objection, by: Person, outcome: str, **said: Any) -> None:
    answer_objection(objection, outcome=outcome, act=an_act(by, at=LATER), **{"words": "", **said})


def test_the_words_stay_out_of_the_ledger(objection: Objection) -> None:
    entry = Entry.objects.get(kind="line.objected")
    assert WORDS not in entry.payload
    assert PersonalValue.objects.get(kind="customer.objection").value == WORDS


def test_signing_stays_possible(objection: Objection, callum: Person) -> None:
    close(objection.statement, callum)
    assert objection.statement.rental.state == "settled"


def test_it_changes_no_amount(objection: Objection, callum: Person) -> None:
    stands(objection, callum, "under_protest")
    assert draw_up(objection.rental, act=an_act(callum, at=LATER)) == objection.statement


def test_a_deferred_line_is_set_aside(objection: Objection, callum: Person) -> None:
    """79.67 is captured now, 42.00 of the deposit is kept, the rest of the 500.00 goes back."""
    stands(objection, callum, "deferred", words="the report", most=Decimal(42), until=A_WEEK)
    after = priced_again(objection.rental, callum)
    assert "SAFETY_KIT" not in due(after)
    assert "waits for the report; at most 42.00 GBP, until 2026-08-25" in sentence_on(after, "SAFETY_KIT")
    totals = result(after)["totals"]
    kept = [totals[f"deposit_{part}"] for part in ("captured", "kept", "released")]
    assert kept == ["79.67", "42.00", "378.33"]


def test_decided_it_is_charged_again(objection: Objection, callum: Person) -> None:
    stands(objection, callum, "deferred", words="the report", most=Decimal(42), until=A_WEEK)
    priced_again(objection.rental, callum)
    stands(objection, callum, "accepted")
    assert due(priced_again(objection.rental, callum))["SAFETY_KIT"] == "42.00"


def test_put_off_again_it_never_grows(objection: Objection, callum: Person) -> None:
    stands(objection, callum, "deferred", words="the report", most=Decimal(30), until=A_WEEK)
    with pytest.raises(CannotBe, match=r"up to £30.00"):
        stands(objection, callum, "deferred", words="the report", most=Decimal(31), until=A_WEEK)


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"words": " "}, "words"),
        ({"until": None}, "until"),
        ({"until": date(2026, 8, 18)}, "until"),
        ({"most": None}, "most"),
        ({"most": Decimal("42.01")}, "most"),
        ({"outcome": "perhaps"}, "outcome"),
    ],
)
def test_what_a_deferral_needs(objection: Objection, callum: Person, said: dict[str, Any], field: str) -> None:
    plain = {"outcome": "deferred", "words": "the report", "most": Decimal(42), "until": A_WEEK}
    with pytest.raises(CannotBe) as refused:
        stands(objection, callum, **{**plain, **said})
    assert refused.value.field == field


def test_nothing_said_is_no_objection(statement: Statement, callum: Person) -> None:
    with pytest.raises(CannotBe, match="in their words"):
        object_to_line(statement, code="LATE", ref="return", title="", words=" ", act=an_act(callum, at=LATER))


def test_only_a_line_of_the_statement(statement: Statement, callum: Person) -> None:
    with pytest.raises(CannotBe, match="not on the latest statement"):
        object_to_line(statement, code="TOLL", ref="7", title="", words=WORDS, act=an_act(callum, at=LATER))
