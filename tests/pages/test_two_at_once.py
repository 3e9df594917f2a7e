"""Two people press at the same moment: each has looked before the other acted. One acts, the other is told."""

from collections.abc import Callable
from typing import Any

import pytest

from handover.acting import CannotBe
from handover.counter.actions import object_to_line, reopen
from handover.record import actions as record_actions
from handover.record.models import Record
from handover.rental.models import Leg, Rental
from handover.rental.selling import sell_extra
from handover.statement.actions import draw_up, settle, sign_statement
from handover.statement.models import Statement
from handover.walkround.actions import answer_check, finish, release, start_walk
from handover.walkround.models import Hold, WalkRound
from shared.access.models import Person
from shared.ledger.models import Entry
from tests.factories import BACK_AT, ExtraOfferFactory, an_act
from tests.playing import STROKES, item, start


def seen_twice(row: Any) -> list[Any]:
    return [type(row).objects.get(pk=row.pk) for _ in range(2)]


def test_a_return_begins_once(out: Rental, callum: Person) -> None:
    one, other = (Leg.objects.get(rental=out) for _ in range(2))
    start_walk(one, kind=WalkRound.Kind.RETURN, act=an_act(callum, at=BACK_AT), arrived_at=BACK_AT)
    with pytest.raises(CannotBe, match="no return can begin now"):
        start_walk(other, kind=WalkRound.Kind.RETURN, act=an_act(callum, at=BACK_AT), arrived_at=BACK_AT)


def test_a_return_ends_once(out: Rental, callum: Person) -> None:
    one, other = seen_twice(start(out, "return", callum, at=BACK_AT, arrived_at=BACK_AT))
    finish(one, act=an_act(callum, at=BACK_AT))
    with pytest.raises(CannotBe, match="signed and closed"):
        finish(other, act=an_act(callum, at=BACK_AT))
    assert Entry.objects.filter(chain=out.pk, kind="return.finished").count() == 1


@pytest.fixture
def signed(priced: Statement, callum: Person) -> Statement:
    for role in ("customer", "staff"):
        sign_statement(
            priced, role=role, name=role, strokes=STROKES, seen_sha256=priced.digest, act=an_act(callum, at=BACK_AT)
        )
    return priced


def test_a_statement_settles_once(signed: Statement, callum: Person) -> None:
    one, other = seen_twice(signed)
    assert other.rental.state == Rental.State.BACK
    settle(one, act=an_act(callum, at=BACK_AT))
    with pytest.raises(CannotBe, match="there is nothing to settle"):
        settle(other, act=an_act(callum, at=BACK_AT))


def test_nothing_is_signed_priced_or_objected_to_once_it_is_settled(signed: Statement, callum: Person) -> None:
    one, other = seen_twice(signed)
    act, rental = an_act(callum, at=BACK_AT), other.rental
    settle(one, act=an_act(callum, at=BACK_AT))
    with pytest.raises(CannotBe, match="is settled"):
        sign_statement(other, role="staff", name="c", strokes=STROKES, seen_sha256=other.digest, act=act)
    with pytest.raises(CannotBe, match="finish the return first"):
        draw_up(rental, act=act)
    rental.state = Rental.State.BACK
    with pytest.raises(CannotBe, match="is settled"):
        object_to_line(other, code="LATE", ref="return", title="Late", words="No.", act=act)


def test_what_is_settled_is_opened_once(signed: Statement, callum: Person, ruth: Person) -> None:
    settle(signed, act=an_act(callum, at=BACK_AT))
    one, other = seen_twice(signed)
    assert other.rental.state == Rental.State.SETTLED
    reopen(one, cause="correction", words="Wrong price", act=an_act(ruth, at=BACK_AT))
    with pytest.raises(CannotBe, match="only what is settled is opened again"):
        reopen(other, cause="correction", words="Wrong price", act=an_act(ruth, at=BACK_AT))


def test_a_hold_is_released_once(booked: Rental, isla: Person, ruth: Person) -> None:
    walk = start(booked, "pickup", isla)
    answer_check(walk, item=item(walk, "Smell of gas").id, word="bad", act=an_act(isla))
    one, other = seen_twice(Hold.objects.get())
    release(one, reason="Hose changed", act=an_act(ruth))
    with pytest.raises(CannotBe, match="already released: Hose changed"):
        release(other, reason="Looks fine", act=an_act(ruth))


def test_no_extra_is_sold_once_it_left(booked: Rental, isla: Person) -> None:
    Rental.objects.filter(pk=booked.pk).update(state=Rental.State.OUT)
    with pytest.raises(CannotBe, match="nothing can be added"):
        sell_extra(booked, offer=ExtraOfferFactory(branch=booked.branch).pk, act=an_act(isla))


def made_by_another(record: Record, monkeypatch: pytest.MonkeyPatch, then: Callable[[], Any]) -> None:
    """While this run renders, another one ends; then this one goes on."""

    def slow(row: Record) -> Any:
        Record.objects.filter(pk=row.pk).update(state="ready", pdf_sha256="a" * 64)
        return then()

    monkeypatch.setattr(record_actions, "sealed_pdf", slow)
    record_actions.make_record.call(str(record.pk))


def fault() -> None:
    raise record_actions.NotRendered("No face can draw it.")


@pytest.mark.parametrize("then", [lambda: (b"%PDF", b"{}"), fault])
def test_a_record_is_made_once(waiting_record: Record, monkeypatch: pytest.MonkeyPatch, then: Any) -> None:
    made_by_another(waiting_record, monkeypatch, then)
    waiting_record.refresh_from_db()
    assert (waiting_record.state, waiting_record.pdf_sha256) == ("ready", "a" * 64)
    assert not Entry.objects.filter(kind="record.made").exists()
