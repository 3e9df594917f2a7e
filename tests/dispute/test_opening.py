"""A line is contested: by the customer with their link, by staff for them; a chargeback is noted."""

from datetime import date
from decimal import Decimal

import pytest
from django.http import Http404

from fleet.models import Branch
from handover.acting import AnyonesAct, CannotBe
from handover.dispute.actions import hand_on, open_chargeback, open_dispute
from handover.dispute.line import StatementLine
from handover.dispute.models import Dispute
from handover.photo.taking_in import take_in
from handover.statement.models import Statement
from shared.access.models import Person
from shared.access.scope import NotAllowed
from shared.ids import uuid7
from shared.ledger.models import Entry
from shared.ledger.verifying import verify_chain
from tests.dispute.conftest import DAYS_LATER, contest, the_door
from tests.factories import an_act

pytestmark = pytest.mark.django_db


def test_the_customer_opens_it_without_signing_in(dispute: Dispute) -> None:
    assert (dispute.by, dispute.by_customer, dispute.is_open, dispute.number) == (None, True, True, 1)
    entry = Entry.objects.get(kind="dispute.opened")
    assert (entry.actor, entry.subject) == (None, dispute.pk)
    assert "It was there" not in entry.payload


def test_the_chain_holds(dispute: Dispute) -> None:
    assert list(verify_chain(dispute.rental_id)) == []


def test_the_branch_says_how_long_an_answer_takes(settled: Statement) -> None:
    Branch.objects.update(dispute_days=7)
    settled.rental.branch.refresh_from_db()
    assert contest(the_door(settled)).answer_by == date(2026, 8, 30)


def test_numbers_count_without_gaps(settled: Statement) -> None:
    contest(the_door(settled))
    with pytest.raises(CannotBe):
        contest(StatementLine(settled, "FUEL", "unit 407", "Diesel"), words=" ")
    late = StatementLine(settled, "LATE", "return", "Late return")
    assert contest(late).number == 2


def test_a_replay_opens_once(settled: Statement) -> None:
    act = AnyonesAct(by=None, at=DAYS_LATER, key=uuid7())
    for _ in range(2):
        open_dispute(the_door(settled), words="No", by_customer=True, act=act)
    assert Dispute.objects.count() == 1


def test_one_line_is_contested_once_at_a_time(dispute: Dispute) -> None:
    with pytest.raises(CannotBe, match="contested already, as dispute 1"):
        contest(the_door(dispute.statement))


@pytest.mark.parametrize("words", ["", "  ", "a\0b", "x" * 1001])
def test_words_that_cannot_be(settled: Statement, words: str) -> None:
    with pytest.raises(CannotBe) as refused:
        contest(the_door(settled), words=words)
    assert refused.value.field == "words"
    assert not Dispute.objects.exists()


def test_a_line_that_is_not_there(settled: Statement) -> None:
    with pytest.raises(CannotBe, match="not on the latest statement"):
        contest(StatementLine(settled, "TOLL", "A9", "Toll"))


def test_a_photo_comes_with_it(settled: Statement, shots: tuple[bytes, bytes]) -> None:
    photo = take_in(shots[0], zone="Europe/London")
    row = contest(the_door(settled), photo=photo)
    assert row.photos.get().kept_sha256 == photo.kept_sha256
    assert photo.kept_sha256 in Entry.objects.get(kind="dispute.opened").payload


def test_staff_open_it_for_the_customer(settled: Statement, callum: Person) -> None:
    row = open_dispute(the_door(settled), words="She rang", by_customer=False, act=an_act(callum, at=DAYS_LATER))
    assert row.by == callum


def test_a_coordinator_does_not(settled: Statement, maeve: Person) -> None:
    with pytest.raises(NotAllowed):
        open_dispute(the_door(settled), words="No", by_customer=False, act=an_act(maeve, at=DAYS_LATER))


def test_another_branch_does_not_see_it(settled: Statement, ida: Person) -> None:
    with pytest.raises(Http404):
        open_dispute(the_door(settled), words="No", by_customer=False, act=an_act(ida, at=DAYS_LATER))


def test_a_chargeback_has_its_own_day(settled: Statement, ruth: Person) -> None:
    row = open_chargeback(
        settled, claimed=Decimal("802.50"), reason_code="13.1", answer_by=date(2026, 9, 20), words="Not as described",
        act=an_act(ruth, at=DAYS_LATER),
    )  # fmt: skip
    assert (row.kind, row.answer_by, row.reason_code) == ("chargeback", date(2026, 9, 20), "13.1")


@pytest.mark.parametrize(
    ("claimed", "answer_by", "field"),
    [
        (None, date(2026, 9, 20), "claimed"),
        (Decimal(0), date(2026, 9, 20), "amount"),
        (Decimal("1.234"), date(2026, 9, 20), "amount"),
        (Decimal(1), None, "answer_by"),
        (Decimal(1), date(2026, 8, 22), "answer_by"),
    ],
)
def test_a_chargeback_that_cannot_be(
    settled: Statement, ruth: Person, claimed: Decimal | None, answer_by: date | None, field: str
) -> None:
    with pytest.raises(CannotBe) as refused:
        open_chargeback(
            settled, claimed=claimed, reason_code="", answer_by=answer_by, words="No", act=an_act(ruth, at=DAYS_LATER)
        )
    assert refused.value.field == field


def test_it_waits_for_the_workshop_until_a_later_day(dispute: Dispute, callum: Person) -> None:
    hand_on(
        dispute, waits_for="others", words="The quote", answer_by=date(2026, 9, 15), act=an_act(callum, at=DAYS_LATER)
    )
    dispute.refresh_from_db()
    assert (dispute.waits_for, dispute.answer_by) == ("others", date(2026, 9, 15))
    assert Entry.objects.filter(kind="dispute.handed_on", subject=dispute.pk).exists()


@pytest.mark.parametrize(
    ("waits_for", "words", "day", "field"),
    [
        ("nobody", "x", None, "waits_for"),
        ("customer", "", None, "asked"),
        ("branch", "x", date(2026, 1, 1), "answer_by"),
    ],
)
def test_it_cannot_wait_like_that(
    dispute: Dispute, callum: Person, waits_for: str, words: str, day: date | None, field: str
) -> None:
    with pytest.raises(CannotBe) as refused:
        hand_on(dispute, waits_for=waits_for, words=words, answer_by=day, act=an_act(callum, at=DAYS_LATER))
    assert refused.value.field == field
