"""Money moves as the settled statement says; captured is never above what is held."""

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction
from django.http import Http404

from handover.acting import Act, CannotBe
from handover.rental.models import Rental
from handover.settlement.actions import Money, capture, hold_deposit, refund, release, take_balance
from handover.settlement.models import Movement
from handover.settlement.plan import steps
from handover.settlement.standing import standing_of
from handover.statement.models import Statement
from shared.access.models import Person
from shared.access.scope import NotAllowed
from shared.ledger.models import Entry
from tests.factories import BACK_AT, NINE, an_act
from tests.settlement.conftest import EVENING, TO_COLLECT

pytestmark = pytest.mark.django_db
TODAY = EVENING.date()
Held = Callable[..., Movement]


def money(amount: Decimal | str, method: str = "card", reference: str = "") -> Money:
    return Money(Decimal(amount), method, reference)


def evening(by: Person) -> Act:
    return an_act(by, at=EVENING)


def left_to_do(rental: Rental) -> list[tuple[str, str]]:
    return [(step.todo.value, str(step.amount)) for step in steps(standing_of(rental, today=TODAY))]


def test_held_captured_released_and_nothing_is_left(settled: Rental, held: Held, callum: Person) -> None:
    hold = held(settled)
    assert left_to_do(settled) == [("capture", "154.070"), ("release", "345.930")]
    capture(hold=hold, money=money(TO_COLLECT), act=evening(callum))
    release(hold=hold, money=money("345.93"), act=evening(callum))
    assert left_to_do(settled) == []


def test_each_movement_is_in_the_ledger(settled: Rental, held: Held, callum: Person) -> None:
    hold = held(settled)
    row = capture(hold=hold, money=money(TO_COLLECT, reference="SLIP 9"), act=evening(callum))
    entry = Entry.objects.get(subject=row.pk)
    assert (entry.kind, entry.chain) == ("settlement.captured", settled.pk)
    assert "SLIP 9" not in entry.payload
    assert row.statement == Statement.objects.get()


def test_a_replay_moves_once(settled: Rental, held: Held, callum: Person) -> None:
    hold, act = held(settled), evening(callum)
    first = capture(hold=hold, money=money("100"), act=act)
    assert capture(hold=hold, money=money("100"), act=act) == first
    assert Movement.objects.filter(kind="captured").count() == 1


def test_never_above_what_is_held(settled: Rental, held: Held, callum: Person) -> None:
    hold = held(settled, "100.00")
    with pytest.raises(CannotBe, match=r"Only £100.00 is held. £100.01 is more"):
        capture(hold=hold, money=money("100.01"), act=evening(callum))
    capture(hold=hold, money=money("60"), act=evening(callum))
    with pytest.raises(CannotBe, match=r"Only £40.00 is held"):
        capture(hold=hold, money=money("40.01"), act=evening(callum))


def test_never_above_what_the_statement_says(settled: Rental, held: Held, callum: Person) -> None:
    with pytest.raises(CannotBe, match=r"Only £154.07 is still to collect"):
        capture(hold=held(settled), money=money("154.08"), act=evening(callum))


def test_nothing_is_captured_without_a_settled_statement(back: Rental, held: Held, callum: Person) -> None:
    with pytest.raises(CannotBe, match="has no settled statement"):
        capture(hold=held(back), money=money("10"), act=evening(callum))


def test_what_the_statement_needs_is_not_released(settled: Rental, held: Held, callum: Person) -> None:
    with pytest.raises(CannotBe, match=r"Only £345.93 is not needed"):
        release(hold=held(settled), money=money("500"), act=evening(callum))


def test_a_released_hold_is_not_captured(settled: Rental, held: Held, callum: Person) -> None:
    spare, other = held(settled, "200.00"), held(settled, "200.00")
    release(hold=spare, money=money("200"), act=evening(callum))
    with pytest.raises(CannotBe, match=r"Only £0.00 is held"):
        capture(hold=spare, money=money("10"), act=evening(callum))
    assert capture(hold=other, money=money("154.07"), act=evening(callum)).hold == other


def test_a_lapsed_hold_pays_nothing(settled: Rental, held: Held, callum: Person) -> None:
    hold = held(settled, days=-1)
    with pytest.raises(CannotBe, match=r"lapsed on 17 Aug 2026\. Have the balance paid"):
        capture(hold=hold, money=money("10"), act=evening(callum))
    release(hold=hold, money=money("500"), act=evening(callum))
    assert left_to_do(settled) == [("pay", "154.070")]


def test_the_balance_is_paid_beside_a_small_deposit(settled: Rental, held: Held, callum: Person) -> None:
    hold = held(settled, "100.00")
    with pytest.raises(CannotBe, match=r"Only £54.07 is to be paid"):
        take_balance(rental=settled, money=money("60"), act=evening(callum))
    capture(hold=hold, money=money("100"), act=evening(callum))
    take_balance(rental=settled, money=money("54.07", "cash"), act=evening(callum))
    assert left_to_do(settled) == []


def version_2(settled: Rental, total: str) -> None:
    """A later settled version that comes to this."""
    last = Statement.objects.get()
    row = Statement.objects.create(
        rental=settled, version=2, inputs=last.inputs, result=last.result, rules_version=last.rules_version,
        digest=last.digest, total=Decimal(total), currency="GBP", drawn_up_at=EVENING, drawn_up_by=last.drawn_up_by,
    )  # fmt: skip
    with transaction.atomic():
        an_act(last.drawn_up_by, at=EVENING).write(
            chain=settled.pk, kind="statement.settled", subject=row.pk, payload={"version": 2}
        )


def test_a_later_version_moves_only_the_difference_back(settled: Rental, held: Held, callum: Person) -> None:
    capture(hold=held(settled, "154.07"), money=money(TO_COLLECT), act=evening(callum))
    version_2(settled, "104.07")
    assert left_to_do(settled) == [("refund", "50.000")]
    with pytest.raises(CannotBe, match=r"Only £50.00 is to be paid back"):
        refund(rental=settled, money=money("50.01"), act=evening(callum))
    assert refund(rental=settled, money=money("50"), act=evening(callum)).statement.version == 2
    assert left_to_do(settled) == []


def test_a_later_version_collects_only_the_difference(settled: Rental, held: Held, callum: Person) -> None:
    hold = held(settled, "160.00")
    capture(hold=hold, money=money(TO_COLLECT), act=evening(callum))
    version_2(settled, "174.07")
    assert left_to_do(settled) == [("capture", "5.930"), ("pay", "14.070")]


@pytest.mark.parametrize(
    ("said", "expires_on", "field", "words"),
    [
        (money("0"), None, "amount", "0 moves nothing"),
        (money("-5"), None, "amount", "below zero"),
        (money("5.005"), None, "amount", "GBP has 2 decimals"),
        (money("500", "cheque"), None, "method", "by card, in cash or by transfer"),
        (money("500", "card", "A 1"), None, "expires_on", "A card's hold lapses"),
        (money("500", "card"), TODAY, "reference", "authorisation reference"),
        (money("500", "card", "A 1"), NINE.date() - timedelta(1), "expires_on", "is past"),
        (money("500", "cash"), TODAY, "expires_on", "Only a card's hold lapses"),
        (money("500", "card", "4000 0012 3456 7899"), TODAY, "reference", "looks like a card number"),
    ],
)
def test_a_hold_that_cannot_be(
    back: Rental, callum: Person, said: Money, expires_on: date | None, field: str, words: str
) -> None:  # fmt: skip
    with pytest.raises(CannotBe, match=words) as refused:
        hold_deposit(rental=back, money=said, expires_on=expires_on, act=an_act(callum, at=NINE))
    assert refused.value.field == field
    assert not Movement.objects.exists()


def test_another_role_and_another_branch(back: Rental, maeve: Person, ida: Person) -> None:
    for person, error in ((maeve, NotAllowed), (ida, Http404)):
        with pytest.raises(error):
            hold_deposit(rental=back, money=money("500", "cash"), act=an_act(person, at=BACK_AT))


def test_the_database_knows_what_belongs_to_a_hold(back: Rental, callum: Person) -> None:
    loose = {"rental": back, "method": "cash", "amount": 1, "currency": "GBP", "at": NINE, "by": callum}
    with pytest.raises(IntegrityError, match="taken_from_a_hold"), transaction.atomic():
        Movement.objects.create(kind="captured", **loose)
    with pytest.raises(IntegrityError, match="movement_above_nothing"), transaction.atomic():
        Movement.objects.create(kind="paid", **loose | {"amount": 0})
