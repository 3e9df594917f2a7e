"""What is erased by schedule, what remains, and that everything still holds."""

import json
from io import StringIO
from typing import Any
from unittest.mock import patch

import pytest
from django.core.management import call_command

from fleet.models import Branch
from handover.counter.models import Objection, Waiver
from handover.customer.models import LateAnnounced, Noticed
from handover.photo.models import Photo
from handover.record.models import Record
from handover.rental.models import Customer, Driver, Rental
from handover.retention.erasing import whole
from handover.retention.erasing.copies import PricedOtherwise, without_words
from handover.retention.models import ErasedFile, ErasedKind, Erasure, LegalHold
from handover.retention.running import run
from handover.settlement.models import Movement
from handover.statement.models import Signature, Statement
from handover.walkround.models import CheckAnswer, Reading, Remark, TopicHeard
from shared.access.models import Person
from shared.files.store import keep, read
from shared.ledger.models import Entry, PersonalValue
from shared.ledger.verifying import verify_all
from tests.factories import UnitFactory
from tests.ledger.forcing import force
from tests.retention import playing
from tests.retention.conftest import A_YEAR_ON, LONG_AFTER, SOON, erased

pytestmark = pytest.mark.django_db
GONE = "Erased 5 Jan 2037 by schedule"


def test_names_words_and_signatures_give_way(settled: Rental) -> None:
    erased(settled)
    customer = Customer.objects.get()
    assert (customer.name, customer.email, customer.phone) == (GONE, "", "")
    assert {row.name for row in Driver.objects.all()} == {GONE}
    assert set(TopicHeard.objects.values_list("heard_by", flat=True)) == {GONE}
    for row in (Remark.objects.get().text, Noticed.objects.get().words, LateAnnounced.objects.get().words,
                Objection.objects.get().words, Waiver.objects.get().words,
                CheckAnswer.objects.exclude(note="").get().note):  # fmt: skip
        assert row == GONE
    signed = Signature.objects.all()
    assert all(row.strokes == [] for row in signed)
    assert {row.name for row in signed if row.role == "customer"} == {GONE}
    assert {row.name for row in signed if row.role == "staff"} == {"Ruth Aldane"}


def test_amounts_readings_and_times_stay(settled: Rental, statement: Statement) -> None:
    readings = list(Reading.objects.order_by("pk").values("value", "at", "typed"))
    movements = list(Movement.objects.values("amount", "kind", "at"))
    total, signed_at = statement.total, list(Signature.objects.values_list("at", flat=True))
    erased(settled)
    assert list(Reading.objects.order_by("pk").values("value", "at", "typed")) == readings
    assert list(Movement.objects.values("amount", "kind", "at")) == movements
    assert list(Signature.objects.values_list("at", flat=True)) == signed_at
    statement.refresh_from_db()
    assert statement.total == total


def test_values_behind_the_ledger_go_with_their_salts(settled: Rental) -> None:
    before = PersonalValue.objects.filter(erased_at=None).exclude(kind="staff.name").count()
    assert before > 10
    erased(settled)
    kept = PersonalValue.objects.filter(erased_at=None)
    assert {row.kind for row in kept} == {"staff.name"}
    assert not PersonalValue.objects.exclude(erased_at=None).exclude(salt="").exists()


def test_the_ledger_holds_before_and_after(settled: Rental) -> None:
    assert list(verify_all()) == []
    erased(settled)
    assert list(verify_all()) == []


def test_an_altered_row_is_no_erased_one(settled: Rental) -> None:
    """Emptied past the program, it is found out; what the program emptied is not."""
    force("UPDATE handover_remark SET text = ''")
    assert any("handover.remark" in problem for problem in verify_all())


def test_an_erased_row_that_is_filled_again_is_found_out(settled: Rental) -> None:
    erased(settled)
    force("UPDATE handover_remark SET text = 'Something else was said.'")
    assert any("handover.remark" in problem for problem in verify_all())


def test_salts_of_the_rows_are_new(settled: Rental) -> None:
    """Else a name could be tried against the digest that the first entry states."""
    name = f"handover.remark:{Remark.objects.get().pk}"
    before = Entry.objects.get(kind="remark.made").rows
    erased(settled)
    entry = Entry.objects.get(kind="personal.erased")
    assert json.loads(entry.rows)[name] != json.loads(before)[name]


def test_the_entry_says_what_and_why_and_names_nobody(settled: Rental) -> None:
    erasure = erased(settled)
    entry = Entry.objects.get(kind="personal.erased")
    told = json.loads(entry.payload)
    assert (told["why"], told["counts"], entry.subject, entry.actor) == (
        "schedule", erasure and erasure.counts, erasure and erasure.pk, None,
    )  # fmt: skip
    assert set(told["counts"]) == {
        "name", "phone", "signatures", "words", "sent", "photos", "damage", "documents", "places", "deliveries",
    }  # fmt: skip
    assert not any(needle.decode() in entry.payload for needle in playing.NEEDLES.values())


def test_no_entry_holds_a_word_of_the_person(settled: Rental) -> None:
    """Already before anything is erased: the Ledger states digests alone."""
    payloads = " ".join(Entry.objects.values_list("payload", flat=True))
    assert [name for name, needle in playing.NEEDLES.items() if needle.decode() in payloads] == []


def test_statements_are_priced_again_to_the_same_amounts(settled: Rental, statement: Statement) -> None:
    was = statement.digest
    assert playing.WAIVED in statement.inputs
    erased(settled)
    statement.refresh_from_db()
    assert playing.WAIVED not in statement.inputs + statement.result
    assert statement.digest != was
    (told,) = json.loads(Entry.objects.get(kind="personal.erased").payload)["statements"]
    assert told == {"version": 2, "was": was, "now": statement.digest}
    assert statement.signatures.filter(content_sha256=statement.digest).count() == 2
    out = StringIO()
    call_command("reprice", "--processes", "1", stdout=out)
    assert out.getvalue().startswith("0 differences: 2 statements")


def test_a_reason_of_the_list_stays_before_the_words() -> None:
    document = {"waivers": [{"code": "LATE", "reason": "Service failure: Maren waited"}], "sources": {
        "events[0].items[0].estimate": {"instrument": "estimate Oduya & Sons 12"}}}  # fmt: skip
    cleared = without_words(document, "Erased")
    assert cleared["waivers"][0] == {"code": "LATE", "reason": "Service failure: Erased"}
    assert cleared["sources"]["events[0].items[0].estimate"]["instrument"] == "estimate"
    assert without_words(cleared, "Erased") == cleared


def test_a_statement_that_would_cost_something_else_stops_its_rental(settled: Rental) -> None:
    with patch("handover.retention.erasing.copies._amounts", side_effect=[1, 2]), pytest.raises(PricedOtherwise):
        erased(settled)
    assert Remark.objects.get().text == playing.REMARK
    assert not Erasure.objects.exists()


def test_only_what_is_due_goes(settled: Rental) -> None:
    erased(settled, now=A_YEAR_ON)
    assert Customer.objects.get().name == playing.NAME
    assert Customer.objects.get().phone == ""
    assert Remark.objects.get().text == playing.REMARK
    kinds = set(ErasedKind.objects.values_list("kind", flat=True))
    assert kinds == {"phone", "photos", "places", "deliveries", "tablet"}


def test_again_nothing_is_left_to_do(settled: Rental) -> None:
    erased(settled)
    entries = Entry.objects.count()
    assert erased(settled) is None
    assert Entry.objects.count() == entries


def test_files_go_and_their_digests_stay(settled: Rental, after_commit: Any) -> None:
    photo = Photo.objects.filter(view="cab").get()
    with after_commit():
        erased(settled)
    for name in (photo.original, photo.display, photo.thumb):
        with pytest.raises(FileNotFoundError):
            read(name)
    photo.refresh_from_db()
    assert photo.kept_sha256 in photo.original
    assert not ErasedFile.objects.filter(removed_at=None).exists()


def test_a_file_that_another_rental_needs_stays_until_that_one_goes(
    settled: Rental, ruth: Person, inverlark: Branch, after_commit: Any
) -> None:
    """The same bytes under two rentals are one file."""
    kept = keep(b"%PDF-1.7 the same for both", suffix=".pdf")
    other = playing.booked(inverlark, ruth, unit=UnitFactory(number="408"))
    Rental.objects.filter(pk=other.pk).update(state=Rental.State.CANCELLED)
    for rental in (settled, other):
        Record.objects.create(rental=rental, leg=rental.legs.get(), kind="pickup", version=9, code="7Q4M-2KXD",
                              file=kept.name, state="ready", made_at=playing.LATER)  # fmt: skip
    with after_commit():
        erased(settled)
    assert read(kept.name)
    with after_commit():
        erased(Rental.objects.get(pk=other.pk))
    with pytest.raises(FileNotFoundError):
        read(kept.name)


def told(*, dry: bool = False) -> list[Any]:
    return list(run(now=LONG_AFTER, dry=dry))


def test_a_dry_run_counts_the_same_and_changes_nothing(settled: Rental, after_commit: Any) -> None:
    entries, values = Entry.objects.count(), PersonalValue.objects.filter(erased_at=None).count()
    (would,) = told(dry=True)
    assert (Entry.objects.count(), PersonalValue.objects.filter(erased_at=None).count()) == (entries, values)
    assert [table.objects.count() for table in (Erasure, ErasedKind, ErasedFile)] == [0, 0, 0]
    assert Customer.objects.get().name == playing.NAME
    (did,) = told()
    assert would.counts == did.counts != {}
    assert told() == []


def test_one_that_fails_does_not_stop_the_others(settled: Rental, ruth: Person, inverlark: Branch) -> None:
    other = playing.booked(inverlark, ruth, unit=UnitFactory(number="408"))
    Rental.objects.filter(pk=other.pk).update(state=Rental.State.CANCELLED)
    real = whole.erase_statements

    def breaks(rental: Rental, scope: Any) -> Any:
        if rental.pk == settled.pk:
            raise PricedOtherwise("Version 1 comes to something else without its words.")
        return real(rental, scope)

    with patch.object(whole, "erase_statements", breaks):
        rows = {row.rental.number: row for row in told()}
    assert rows[settled.number].problem.startswith("PricedOtherwise: Version 1")
    assert rows[other.number].counts["name"] > 0
    assert Remark.objects.get().text == playing.REMARK


def test_what_is_not_settled_stays(settled: Rental) -> None:
    Rental.objects.update(state=Rental.State.BACK)
    assert told() == []
    assert erased(settled) is None


def test_a_legal_hold_keeps_everything_to_its_last_day(settled: Rental, ruth: Person) -> None:
    hold = LegalHold.objects.create(rental=settled, reason="A claim", until=LONG_AFTER.date(), at=SOON, by=ruth)
    (row,) = told()
    assert (row.counts, len(row.held)) == ({}, 11)
    assert row.held[0].hold.reason == "Legal hold: A claim"
    LegalHold.objects.filter(pk=hold.pk).update(until=SOON.date())
    (row,) = told()
    assert row.counts["name"] > 0


def test_the_customers_row_waits_for_their_last_rental(settled: Rental, inverlark: Branch, ruth: Person) -> None:
    second = playing.booked(inverlark, ruth, unit=UnitFactory(number="408"))
    Rental.objects.filter(pk=second.pk).update(customer=settled.customer)
    erased(settled)
    assert settled.customer.name == Customer.objects.get(pk=settled.customer_id).name == playing.NAME
    Rental.objects.filter(pk=second.pk).update(state=Rental.State.CANCELLED)
    erased(Rental.objects.get(pk=second.pk))
    assert Customer.objects.get(pk=settled.customer_id).name == GONE


def test_the_command_says_what_and_why(settled: Rental) -> None:
    out = StringIO()
    with patch("django.utils.timezone.now", lambda: A_YEAR_ON):
        call_command("retention", "--dry-run", stdout=out)
        assert f"{settled.number}: would erase 3 of Phone number, named drivers" in out.getvalue()
        assert "0 held back; 0 rentals failed." in out.getvalue()
        call_command("retention", stdout=out)
    assert f"{settled.number}: erased 3 of Phone number" in out.getvalue()
    assert "by schedule" in out.getvalue()
