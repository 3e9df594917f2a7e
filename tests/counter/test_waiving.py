"""Waivers: limits by role, a second person, what survives and what lapses."""

from decimal import Decimal
from typing import Any

import pytest
from django.http import Http404

from handover.acting import CannotBe
from handover.counter.actions import explain_kit, waive, withdraw_waiver
from handover.counter.actions.waiving import Reduction
from handover.counter.models import Waiver
from handover.statement.models import Statement
from shared.access.models import Person
from shared.access.scope import NotAllowed
from shared.ledger.models import Entry
from tests.counter.conftest import LATER
from tests.counter.reading import due, inputs, priced_again, result
from tests.factories import PersonFactory, an_act

pytestmark = pytest.mark.django_db


def off(statement: Statement, by: Person, code: str = "LATE", *, second: Person | None = None, **how: Any) -> Waiver:
    ref = next(line["ref"] for line in result(statement)["lines"] if line["code"] == code)
    said = {"reason": "service_failure", "words": "The gate was shut", **how}
    return waive(
        statement.rental, code=code, ref=ref, reduction=Reduction(**said), act=an_act(by, at=LATER), second=second
    )


@pytest.mark.parametrize(
    ("how", "taken", "total"),
    [
        ({"percent": Decimal(50)}, "-25.00", "96.67"),
        ({"amount": Decimal("12.50")}, "-12.50", "109.17"),
        ({"percent": Decimal(100)}, "-50.00", "71.67"),
    ],
)
def test_by_percent_or_amount(statement: Statement, callum: Person, how: Any, taken: str, total: str) -> None:
    off(statement, callum, **how)
    after = priced_again(statement.rental, callum)
    assert (due(after)["WAIVER"], str(after.total)) == (taken, total)


def test_it_keeps_reason_approver_and_role(statement: Statement, callum: Person) -> None:
    off(statement, callum, percent=Decimal(50))
    (waiver,) = inputs(priced_again(statement.rental, callum))["waivers"]
    assert waiver == {
        "code": "LATE", "ref": "return", "percent": "50", "approver": "Callum Reid", "role": "return_bay",
        "reason": "Service failure: The gate was shut",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("how", "field"),
    [
        ({"percent": Decimal(101)}, "percent"),
        ({"percent": Decimal(0)}, "percent"),
        ({}, "percent"),
        ({"percent": Decimal(5), "amount": Decimal(5)}, "percent"),
        ({"amount": Decimal("50.01")}, "amount"),
        ({"amount": Decimal("0.001")}, "amount"),
        ({"amount": Decimal(-3)}, "amount"),
        ({"amount": Decimal(3), "reason": "mood"}, "reason"),
        ({"amount": Decimal(3), "words": " "}, "words"),
    ],
)
def test_what_cannot_be_waived(statement: Statement, ruth: Person, how: Any, field: str) -> None:
    with pytest.raises(CannotBe) as refused:
        off(statement, ruth, **how)
    assert refused.value.field == field


def test_two_waivers_never_pass_the_line(statement: Statement, ruth: Person) -> None:
    off(statement, ruth, percent=Decimal(60))
    with pytest.raises(CannotBe, match=r"£20.00 is left of this line"):
        off(statement, ruth, amount=Decimal(21))


@pytest.fixture
def dear(statement: Statement, callum: Person) -> Statement:
    """A first aid kit waits for its price: the kit's line is 42.00, the limit of a host 30."""
    rental = statement.rental
    assert rental.frozen is not None
    rental.frozen["rules"]["waivers"] = {"limits": {"host": "30", "return_bay": "30", "manager": None}}
    rental.save(update_fields=["frozen"])
    return statement


def test_above_the_limit_of_the_rate_card(dear: Statement, callum: Person) -> None:
    with pytest.raises(CannotBe, match=r"Return bay may waive up to £30.00 on a line; this is £42.00"):
        off(dear, callum, "SAFETY_KIT", percent=Decimal(100))


def test_two_halves_do_not_pass_the_limit(dear: Statement, callum: Person) -> None:
    off(dear, callum, "SAFETY_KIT", percent=Decimal(50))
    with pytest.raises(CannotBe, match=r"this is £42.00"):
        off(dear, callum, "SAFETY_KIT", percent=Decimal(50))


def test_a_second_person_confirms(dear: Statement, callum: Person, ruth: Person) -> None:
    off(dear, callum, "SAFETY_KIT", percent=Decimal(100), second=ruth)
    after = priced_again(dear.rental, callum)
    assert (due(after)["WAIVER"], result(after)["lapsed"]) == ("-42.00", [])
    assert inputs(after)["waivers"][0]["second_approver"] == "Ruth Aldane"


def test_the_second_person_is_another(dear: Statement, ruth: Person, callum: Person) -> None:
    with pytest.raises(CannotBe, match="another one"):
        off(dear, callum, "SAFETY_KIT", percent=Decimal(100), second=callum)


def test_the_second_person_has_the_limit(dear: Statement, callum: Person, isla: Person) -> None:
    with pytest.raises(CannotBe, match="second person’s limit is lower too"):
        off(dear, callum, "SAFETY_KIT", percent=Decimal(100), second=isla)


def test_the_second_person_works_here(dear: Statement, callum: Person) -> None:
    stranger = PersonFactory(username="brede", role="manager", branches=[])
    with pytest.raises(CannotBe, match="not posted to Inverlark"):
        off(dear, callum, "SAFETY_KIT", percent=Decimal(100), second=stranger)


def test_the_coordinator_may_not(statement: Statement, maeve: Person) -> None:
    with pytest.raises(NotAllowed):
        off(statement, maeve, percent=Decimal(5))


def test_another_branch_sees_nothing(statement: Statement, ida: Person) -> None:
    with pytest.raises(Http404):
        off(statement, ida, percent=Decimal(5))


def test_a_replay_waives_once(statement: Statement, callum: Person) -> None:
    act = an_act(callum, at=LATER)
    reduction = Reduction("weather", "Storm on the coast road", percent=Decimal(10))
    rows = [waive(statement.rental, code="LATE", ref="return", reduction=reduction, act=act) for _ in range(2)]
    assert rows[0] == rows[1]
    assert Waiver.objects.count() == 1


def test_a_line_that_vanishes_lets_its_waiver_lapse(statement: Statement, callum: Person) -> None:
    off(statement, callum, "SAFETY_KIT", percent=Decimal(50))
    explain_kit(statement.rental, kit="first_aid", report="injury", words="Report 7", act=an_act(callum, at=LATER))
    after = priced_again(statement.rental, callum)
    assert [row["code"] for row in result(after)["lapsed"]] == ["SAFETY_KIT"]
    assert "WAIVER" not in due(after)


def test_taken_back_it_is_due_again(statement: Statement, callum: Person) -> None:
    waiver = off(statement, callum, percent=Decimal(50))
    withdraw_waiver(waiver, words="Wrong line", act=an_act(callum, at=LATER))
    assert priced_again(statement.rental, callum).total == Decimal("121.67")
    with pytest.raises(CannotBe, match="taken back already: Wrong line"):
        withdraw_waiver(waiver, words="Again", act=an_act(callum, at=LATER))


def test_settled_is_not_waived(settled: Statement, ruth: Person) -> None:
    with pytest.raises(CannotBe, match="A manager can open it again"):
        off(settled, ruth, percent=Decimal(5))


def test_the_ledger_tells_it_without_a_password(dear: Statement, callum: Person, ruth: Person) -> None:
    off(dear, callum, "SAFETY_KIT", percent=Decimal(100), second=ruth)
    entry = Entry.objects.get(kind="line.waived")
    assert f'"second":"{ruth.pk}"' in entry.payload
    assert '"role":"return_bay"' in entry.payload
