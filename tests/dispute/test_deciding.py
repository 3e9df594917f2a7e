"""A decision: by the right person, within the limits of waivers, priced the one way there is, to the cent."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from django.http import Http404

from handover.acting import CannotBe
from handover.counter.actions import waive
from handover.counter.actions.waiving import Reduction
from handover.counter.models import Reopening, Waiver
from handover.dispute.actions import Verdict, decide
from handover.dispute.models import Decision, Dispute
from handover.record.models import Record
from handover.record.writing import record_document
from handover.settlement.queries import money_page
from handover.statement.models import Statement
from shared.access.models import Person
from shared.access.scope import NotAllowed
from shared.ledger.models import Entry
from shared.ledger.verifying import verify_chain
from shared.money import round_half_up
from tests.counter.reading import due, result
from tests.dispute.conftest import DAYS_LATER, DOOR_REF, contest, iter_lines, the_door
from tests.factories import PersonFactory, an_act
from tests.unprinted import letter_unprinted  # noqa: F401 (fixture)

pytestmark = pytest.mark.django_db
WHY = "The pickup photo shows the door without it."


def decided(dispute: Dispute, by: Person, outcome: str, *, second: Person | None = None, **said: Any) -> Decision:
    verdict = Verdict(outcome, said.pop("words", WHY), **said)
    return decide(dispute, verdict, act=an_act(by, at=DAYS_LATER), second=second)


def latest(dispute: Dispute) -> Statement:
    return Statement.objects.filter(rental=dispute.rental).latest("version")


@pytest.mark.parametrize(
    ("outcome", "left", "delta", "after"),
    [
        ("upheld", None, "0.00", "400.00"),
        ("reduced", Decimal("150.01"), "-249.99", "150.01"),
        ("waived", None, "-400.00", "0.00"),
        ("withdrawn", None, "-400.00", "0.00"),
    ],
)
def test_the_next_version_states_the_difference(
    dispute: Dispute, ruth: Person, outcome: str, left: Decimal | None, delta: str, after: str
) -> None:
    before = dispute.statement.total
    made = decided(dispute, ruth, outcome, left=left)
    statement = latest(dispute)
    totals = result(statement)["totals"]
    assert (statement.version, totals["delta"]) == (2, delta)
    assert statement.total - before == Decimal(delta)
    assert (made.statement, made.before, round_half_up(made.after, 2)) == (statement, Decimal("400.00"), Decimal(after))


def test_the_line_itself_stays_at_its_price(dispute: Dispute, ruth: Person) -> None:
    """What is taken off is a line of its own, as every waiver is."""
    decided(dispute, ruth, "withdrawn")
    assert due(latest(dispute))["DAMAGE"] == "400.00"
    assert due(latest(dispute))["WAIVER"] == "-400.00"


def test_it_goes_through_reopening_and_waiver(dispute: Dispute, ruth: Person) -> None:
    made = decided(dispute, ruth, "waived", reason="staff_error")
    opened, waived = Reopening.objects.get(), Waiver.objects.get()
    assert (opened.cause, waived.reason, waived.pk) == ("dispute", "staff_error", made.waiver_id)
    assert opened.words == f"Dispute 1: {WHY}"
    kinds = list(Entry.objects.filter(chain=dispute.rental_id).values_list("kind", flat=True))
    assert kinds.index("statement.reopened") < kinds.index("line.waived") < kinds.index("dispute.decided")
    assert list(verify_chain(dispute.rental_id)) == []


@pytest.mark.usefixtures("letter_unprinted")
def test_it_is_settled_and_a_record_is_made(dispute: Dispute, ruth: Person, committed: Callable[[], Any]) -> None:
    with committed():
        decided(dispute, ruth, "waived")
    dispute.rental.refresh_from_db()
    assert dispute.rental.state == "settled"
    record = Record.objects.get(statement=latest(dispute))
    assert (record.state, record.problem) == ("ready", "")


def test_the_record_says_that_nobody_drew_a_signature(dispute: Dispute, ruth: Person) -> None:
    decided(dispute, ruth, "waived")
    document, _, _ = record_document(Record.objects.get(statement=latest(dispute)))
    now = [row for row in document["signatures"] if row["act"] == "statement 2"]
    assert {row["role"]: (row["outcome"], row["strokes"]) for row in now} == {
        "customer": ("absent", []), "staff": ("signed", []),
    }  # fmt: skip
    assert all("Decided at the desk in dispute 1" in row["reason"] for row in now)
    assert document["statement"]["reopened"]["cause"] == "Dispute"


def test_what_goes_back_stands_with_the_money(dispute: Dispute, ruth: Person) -> None:
    decided(dispute, ruth, "waived")
    assert money_page(dispute.rental, today=DAYS_LATER.date()).latest == latest(dispute)


def test_a_second_line_makes_a_third_version(dispute: Dispute, ruth: Person) -> None:
    late = contest(next(iter_lines(dispute.statement, "LATE")))
    decided(dispute, ruth, "waived")
    late.rental.refresh_from_db()
    decided(late, ruth, "reduced", left=Decimal("20.00"))
    statement = latest(dispute)
    assert (statement.version, statement.total) == (3, dispute.statement.total - 400 - 30)


def test_a_replay_decides_once(dispute: Dispute, ruth: Person) -> None:
    act = an_act(ruth, at=DAYS_LATER)
    first, again = (decide(dispute, Verdict("waived", WHY), act=act) for _ in range(2))
    assert first == again
    assert Statement.objects.count() == 2


def test_it_is_decided_once(dispute: Dispute, ruth: Person) -> None:
    decided(dispute, ruth, "upheld")
    with pytest.raises(CannotBe, match="is decided already"):
        decided(dispute, ruth, "waived")


def test_the_same_line_can_be_contested_again(dispute: Dispute, ruth: Person) -> None:
    decided(dispute, ruth, "upheld")
    again = contest(the_door(latest(dispute)))
    assert (again.number, decided(again, ruth, "waived").before) == (2, Decimal("400.00"))


def test_what_was_waived_before_counts(dispute: Dispute, ruth: Person) -> None:
    decided(dispute, ruth, "reduced", left=Decimal("100.00"))
    again = contest(the_door(latest(dispute)))
    assert decided(again, ruth, "waived").before == Decimal("100.00")
    assert latest(dispute).total == dispute.statement.total - 400


@pytest.mark.parametrize(
    ("outcome", "said", "field"),
    [
        ("", {}, "outcome"),
        ("guilty", {}, "outcome"),
        ("upheld", {"words": " "}, "words"),
        ("reduced", {}, "left"),
        ("reduced", {"left": Decimal(0)}, "left"),
        ("reduced", {"left": Decimal("400.00")}, "left"),
        ("reduced", {"left": Decimal("1.005")}, "amount"),
        ("waived", {"reason": "mood"}, "reason"),
        ("waived", {"words": "x" * 1001}, "words"),
    ],
)
def test_what_cannot_be_changes_nothing(
    dispute: Dispute, ruth: Person, outcome: str, said: dict[str, Any], field: str
) -> None:
    with pytest.raises(CannotBe) as refused:
        decided(dispute, ruth, outcome, **said)
    assert refused.value.field == field
    dispute.refresh_from_db()
    dispute.rental.refresh_from_db()
    assert (dispute.state, dispute.rental.state, Statement.objects.count()) == ("open", "settled", 1)


def test_only_a_manager(dispute: Dispute, callum: Person, isla: Person) -> None:
    for person in (callum, isla):
        with pytest.raises(NotAllowed):
            decided(dispute, person, "upheld")


def test_not_of_another_branch(dispute: Dispute, port_averil: Any) -> None:
    far = PersonFactory(username="far", role="manager", branches=[port_averil])
    with pytest.raises(Http404):
        decided(dispute, far, "upheld")


def limited(dispute: Dispute) -> None:
    """A rate card on which a manager alone waives up to 200.00."""
    rental = dispute.rental
    assert rental.frozen is not None
    rental.frozen["rules"]["waivers"] = {"limits": {"manager": "200", "host": "50", "return_bay": "500"}}
    rental.save(update_fields=["frozen"])


def test_above_the_limit_a_second_person(dispute: Dispute, ruth: Person, callum: Person) -> None:
    limited(dispute)
    with pytest.raises(CannotBe) as refused:
        decided(dispute, ruth, "waived")
    assert refused.value.field == "second_name"
    made = decided(dispute, ruth, "waived", second=callum)
    assert (made.second, made.waiver and made.waiver.second) == (callum, callum)
    assert latest(dispute).total == dispute.statement.total - 400


def test_within_the_limit_alone(dispute: Dispute, ruth: Person) -> None:
    limited(dispute)
    assert decided(dispute, ruth, "reduced", left=Decimal("200.00")).second is None


def test_while_it_is_open_at_the_counter_it_is_settled_there(dispute: Dispute, ruth: Person) -> None:
    """Opened again for another cause meanwhile: the decision is priced, the counter settles."""
    from handover.counter.actions import reopen

    reopen(dispute.statement, cause="invoice_difference", words="Invoice came", act=an_act(ruth, at=DAYS_LATER))
    decided(dispute, ruth, "waived")
    dispute.rental.refresh_from_db()
    assert (dispute.rental.state, latest(dispute).total) == ("back", dispute.statement.total - 400)
    assert Record.objects.filter(kind="return").count() == 1


def test_a_line_that_is_gone_is_withdrawn(dispute: Dispute, ruth: Person) -> None:
    """All of it was waived meanwhile: nothing is left to reduce, and the case can still be closed."""
    from handover.counter.actions import reopen

    reopen(dispute.statement, cause="correction", words="Waived by hand", act=an_act(ruth, at=DAYS_LATER))
    reduction = Reduction("small_amount", "Goodwill", percent=Decimal(100))
    waive(dispute.rental, code="DAMAGE", ref=DOOR_REF, reduction=reduction, act=an_act(ruth, at=DAYS_LATER))
    with pytest.raises(CannotBe, match="Nothing is due on this line any more"):
        decided(dispute, ruth, "waived")
    assert decided(dispute, ruth, "withdrawn").after == 0
