"""A settled rental opened again: the next version with the difference, the earlier one as it was."""

from datetime import timedelta
from decimal import Decimal

import pytest

from handover.acting import CannotBe
from handover.counter.actions import look_at_tanks, look_at_zone, reopen, waive
from handover.counter.actions.finding import Tanks
from handover.counter.actions.waiving import Reduction
from handover.counter.evidence import Evidence
from handover.counter.models import Reopening
from handover.record.models import Record
from handover.record.writing import record_document
from handover.statement.actions import settle
from handover.statement.models import Statement
from shared.access.models import Person
from shared.access.scope import NotAllowed
from tests.counter.conftest import LATER, close
from tests.counter.reading import due, inputs, priced_again, result
from tests.factories import an_act

pytestmark = pytest.mark.django_db


@pytest.fixture
def reopened(settled: Statement, ruth: Person) -> Statement:
    reopen(settled, cause="dispute", words="The gate was shut at ten", act=an_act(ruth, at=LATER))
    settled.rental.refresh_from_db()
    return settled


def gate_was_shut(statement: Statement, by: Person) -> Statement:
    reduction = Reduction("service_failure", "The gate was shut", percent=Decimal(100))
    waive(statement.rental, code="LATE", ref="return", reduction=reduction, act=an_act(by, at=LATER))
    return priced_again(statement.rental, by)


def test_it_is_back_to_settle(reopened: Statement) -> None:
    assert reopened.rental.state == "back"


def test_the_next_version_states_the_difference(reopened: Statement, ruth: Person) -> None:
    """121.67 was captured from the deposit; 50.00 of it goes back."""
    second = gate_was_shut(reopened, ruth)
    totals = result(second)["totals"]
    assert (second.version, totals["previous_total"], totals["delta"]) == (2, "121.67", "-50.00")
    assert (totals["refund_due"], totals["balance_due"]) == ("50.00", "0.00")


def test_a_partial_refund_after_a_dispute(
    statement: Statement, callum: Person, ruth: Person, a_photo: Evidence
) -> None:
    """802.50 were paid, 410.00 of them go back: 392.50 stay, and that is the most that can be asked for."""
    foul = Tanks(foul_water="diesel", foul_water_repair=Decimal("640.83"))
    look_at_tanks(statement.rental, found=foul, evidence=a_photo, act=an_act(callum, at=LATER))
    paid = priced_again(statement.rental, callum)
    close(paid, callum)
    reopen(paid, cause="dispute", words="Not our diesel", act=an_act(ruth, at=LATER))
    reduction = Reduction("unclear_baseline", "No sample at pickup", amount=Decimal("410.00"))
    ref = "Fresh water tank, diesel"
    waive(paid.rental, code="DAMAGE", ref=ref, reduction=reduction, act=an_act(ruth, at=LATER))
    after = priced_again(paid.rental, ruth)
    assert (str(paid.total), str(after.total)) == ("802.50", "392.50")
    assert result(after)["totals"]["refund_due"] == "410.00"


def test_the_earlier_version_keeps_its_bytes(reopened: Statement, ruth: Person) -> None:
    before = (reopened.inputs, reopened.result, reopened.digest)
    gate_was_shut(reopened, ruth)
    first = Statement.objects.get(version=1)
    assert (first.inputs, first.result, first.digest) == before


def test_each_settled_version_has_its_own_record(reopened: Statement, ruth: Person) -> None:
    second = gate_was_shut(reopened, ruth)
    close(second, ruth)
    records = Record.objects.filter(kind="return").order_by("version")
    assert [(row.version, row.statement.version) for row in records if row.statement] == [(1, 1), (2, 2)]
    document, _, _ = record_document(records[1])
    assert document["statement"]["inputs"]["previous_settlement"] == {"total": "121.67", "version": 1}


def test_the_settled_version_is_not_settled_twice(reopened: Statement, ruth: Person) -> None:
    with pytest.raises(CannotBe, match="was settled and opened again"):
        settle(reopened, act=an_act(ruth, at=LATER))


def test_opened_a_second_time_the_second_counts(reopened: Statement, ruth: Person) -> None:
    second = gate_was_shut(reopened, ruth)
    close(second, ruth)
    reopen(second, cause="invoice_difference", words="Invoice came", act=an_act(ruth, at=LATER))
    third = priced_again(second.rental, ruth)
    assert inputs(third)["previous_settlement"] == {"version": 2, "total": "71.67"}
    assert result(third)["totals"]["delta"] == "0.00"


@pytest.mark.parametrize(("cause", "words", "field"), [("mood", "Why not", "cause"), ("dispute", " ", "words")])
def test_it_needs_cause_and_words(settled: Statement, ruth: Person, cause: str, words: str, field: str) -> None:
    with pytest.raises(CannotBe) as refused:
        reopen(settled, cause=cause, words=words, act=an_act(ruth, at=LATER))
    assert refused.value.field == field


def test_only_a_manager(settled: Statement, callum: Person) -> None:
    with pytest.raises(NotAllowed):
        reopen(settled, cause="dispute", words="He rang", act=an_act(callum, at=LATER))


def test_only_what_is_settled(statement: Statement, ruth: Person) -> None:
    with pytest.raises(CannotBe, match="only what is settled"):
        reopen(statement, cause="dispute", words="She rang", act=an_act(ruth, at=LATER))


def test_a_replay_opens_once(settled: Statement, ruth: Person) -> None:
    act = an_act(ruth, at=LATER)
    for _ in range(2):
        reopen(settled, cause="dispute", words="She rang", act=act)
    assert Reopening.objects.count() == 1


def test_late_findings_have_an_end(reopened: Statement, ruth: Person, a_photo: Evidence) -> None:
    """48 hours after the return the interior may still be found clean, no longer dirty."""
    late = LATER + timedelta(hours=49)
    with pytest.raises(CannotBe, match=r"Late findings were announced until 20 Aug 12:47"):
        look_at_zone(
            reopened.rental, zone="interior", tier="heavy", cause="", evidence=a_photo, act=an_act(ruth, at=late)
        )
    look_at_zone(reopened.rental, zone="interior", tier="none", cause="", act=an_act(ruth, at=late))
    assert "CLEANING" not in due(priced_again(reopened.rental, ruth, at=late))


def test_within_the_time_a_late_finding_counts(reopened: Statement, ruth: Person, a_photo: Evidence) -> None:
    at = LATER + timedelta(hours=40)
    look_at_zone(reopened.rental, zone="interior", tier="heavy", cause="", evidence=a_photo, act=an_act(ruth, at=at))
    assert due(priced_again(reopened.rental, ruth, at=at))["CLEANING"] == "140.00"


def test_the_rate_card_announces_the_time(reopened: Statement, ruth: Person, a_photo: Evidence) -> None:
    rental = reopened.rental
    assert rental.frozen is not None
    rental.frozen["rules"]["late_findings"] = {"cut_off_hours": "24"}
    rental.save(update_fields=["frozen"])
    at = LATER + timedelta(hours=24)
    with pytest.raises(CannotBe, match="until 19 Aug"):
        look_at_zone(rental, zone="interior", tier="heavy", cause="", evidence=a_photo, act=an_act(ruth, at=at))
