"""The letter: in the customer's language, drafts with English below, kept under its digest, sent or said why."""

import subprocess
from collections.abc import Callable
from decimal import Decimal
from smtplib import SMTPRecipientsRefused
from typing import Any

import pytest
from django.core import mail
from django.core.mail.backends.locmem import EmailBackend

from fleet.languages import BRIEFED
from handover.dispute.actions import Verdict, decide, make_letter, send_again
from handover.dispute.letter.phrases import PHRASES
from handover.dispute.letter.writing import bodies, facts_of
from handover.dispute.models import Decision, Delivery, Dispute, Letter
from handover.record import render
from shared.access.models import Person
from shared.access.scope import NotAllowed
from shared.canonical import sha256_hex
from shared.files.store import read
from shared.ledger.models import Entry
from shared.ledger.verifying import verify_chain
from tests.dispute.conftest import DAYS_LATER
from tests.factories import an_act
from tests.unprinted import letter_unprinted, record_unprinted  # noqa: F401 (fixtures)

# The Record that a decision orders beside the letter has tests of its own.
pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("record_unprinted")]
CODES = [language.code for language in BRIEFED]


def decided(dispute: Dispute, by: Person, outcome: str = "reduced", left: str | None = "150.00") -> Decision:
    verdict = Verdict(outcome, "The photo shows it.", left=Decimal(left) if left else None)
    return decide(dispute, verdict, act=an_act(by, at=DAYS_LATER))


def speaks(dispute: Dispute, code: str) -> None:
    customer = dispute.rental.customer
    customer.language = code
    customer.save()


def text_of(letter: Letter) -> str:
    done = subprocess.run(
        ["pdftotext", "-layout", "-", "-"], input=read(letter.file), capture_output=True, check=True, timeout=60
    )
    return done.stdout.decode()


def images_in(letter: Letter) -> int:
    done = subprocess.run(
        ["pdfimages", "-list", "-"], input=read(letter.file), capture_output=True, check=True, timeout=60
    )
    rows = [line.split() for line in done.stdout.decode().splitlines()[2:]]
    # PDF/A forbids it, and WeasyPrint does it unless told otherwise.
    assert {row[9] for row in rows} <= {"no"}
    return len(rows)


def test_every_language_of_the_briefing_says_everything() -> None:
    assert list(PHRASES) == CODES
    for code, phrases in PHRASES.items():
        texts = phrases.texts()
        assert all(texts[name] for name in texts if name != "draft" or code != "en"), code
        for name, text in texts.items():
            assert places(text) == places(PHRASES["en"].texts()[name]), (code, name)


def places(text: str) -> list[str]:
    return sorted(part.partition(")")[0] for part in text.split("%(")[1:])


@pytest.mark.parametrize("code", CODES)
def test_it_is_made_in_the_customers_language(
    dispute: Dispute, ruth: Person, committed: Callable[[], Any], code: str
) -> None:
    """Every character has a face: a missing one would stop the letter. Both photos are in it, in each language."""
    speaks(dispute, code)
    with committed():
        decided(dispute, ruth)
    letter = Letter.objects.get()
    assert (letter.state, letter.problem) == ("ready", "")
    assert (letter.language, letter.draft) == (code, code != "en")
    assert letter.sha256 == sha256_hex(read(letter.file))
    assert "£150.00" in text_of(letter)
    assert images_in(letter) == (4 if letter.draft else 2)


@pytest.mark.parametrize("code", CODES[1:])
def test_a_draft_has_the_english_below(dispute: Dispute, ruth: Person, code: str) -> None:
    speaks(dispute, code)
    own, english = bodies(facts_of(decided(dispute, ruth)))
    assert (own.language.code, english.language.code, english.draft) == (code, "en", "")
    assert own.draft == PHRASES[code].draft
    assert own.decided != english.decided
    assert "£400.00" in own.decided
    assert "£150.00" in own.decided


def test_among_words_from_right_to_left_amounts_keep_their_order(dispute: Dispute, ruth: Person) -> None:
    speaks(dispute, "ar")
    own, english = bodies(facts_of(decided(dispute, ruth)))
    assert "\u2066£400.00\u2069" in own.decided
    assert "\u2066" not in english.decided


def test_an_unknown_language_is_english_alone(dispute: Dispute, ruth: Person) -> None:
    speaks(dispute, "xx")
    (only,) = bodies(facts_of(decided(dispute, ruth)))
    assert only.language.code == "en"


def test_what_it_says(dispute: Dispute, ruth: Person) -> None:
    (letter,) = bodies(facts_of(decided(dispute, ruth)))
    assert letter.subject == "Dispute 1: Mark 1, left door"
    on = f"on 23 August 2026 the line “Mark 1, left door” of rental {dispute.rental.number} was contested."
    assert letter.contested == on
    assert letter.decided == "We looked at everything again. The line is reduced from £400.00 to £150.00."
    assert letter.sums[-1] == ("Difference", "− £250.00")
    assert letter.outcome == "£250.00 goes back to you the way it was paid."
    assert dispute.rental.number in letter.record


@pytest.mark.parametrize(
    ("outcome", "words", "money"),
    [
        ("upheld", "The line stands: £400.00.", "Nothing is to pay, nothing goes back."),
        ("waived", "The line is waived: £400.00 is no longer asked for.", "£400.00 goes back to you"),
        ("withdrawn", "The line is withdrawn: £400.00 is no longer asked for.", "£400.00 goes back to you"),
    ],
)
def test_each_outcome(dispute: Dispute, ruth: Person, outcome: str, words: str, money: str) -> None:
    (letter,) = bodies(facts_of(decided(dispute, ruth, outcome, None)))
    assert letter.decided.endswith(words)
    assert letter.outcome.startswith(money)


@pytest.mark.usefixtures("letter_unprinted")
def test_it_goes_by_mail_with_the_letter(dispute: Dispute, ruth: Person, committed: Callable[[], Any]) -> None:
    speaks(dispute, "de")
    with committed():
        decided(dispute, ruth)
    (message,) = mail.outbox
    assert message.to == ["maren@example.org"]
    assert "Die Zeile wird von £400.00 auf £150.00 gesenkt." in message.body
    assert "The line is reduced from £400.00 to £150.00." in message.body
    name, data, kind = message.attachments[0]
    assert (name, kind) == (f"{dispute.rental.number}-dispute-1.pdf", "application/pdf")
    assert data == read(Letter.objects.get().file)
    assert Delivery.objects.get().outcome == "sent"


@pytest.mark.usefixtures("letter_unprinted")
def test_the_ledger_says_what_was_sent_and_not_to_whom(
    dispute: Dispute, ruth: Person, committed: Callable[[], Any]
) -> None:
    with committed():
        decided(dispute, ruth)
    told = {row.kind: row.payload for row in Entry.objects.filter(kind__startswith="dispute.letter")}
    assert Letter.objects.get().sha256 in told["dispute.letter_made"]
    assert '"outcome":"sent"' in told["dispute.letter_sent"]
    assert not any("maren" in payload for payload in told.values())
    assert list(verify_chain(dispute.rental_id)) == []


@pytest.mark.usefixtures("letter_unprinted")
def test_a_mail_server_that_refuses(
    dispute: Dispute, ruth: Person, committed: Callable[[], Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(EmailBackend, "send_messages", refuse)
    with committed():
        decided(dispute, ruth)
    row = Delivery.objects.get()
    assert (row.outcome, row.problem) == ("failed", "The e-mail was not taken: ConnectionRefusedError, nobody there")
    assert Dispute.objects.get().state == "decided"
    monkeypatch.undo()
    send_again(Letter.objects.get(), act=an_act(ruth, at=DAYS_LATER))
    assert [row.outcome for row in Delivery.objects.all()] == ["failed", "sent"]


def refuse(*_: Any) -> int:
    raise ConnectionRefusedError("nobody there")


@pytest.mark.usefixtures("letter_unprinted")
def test_why_it_was_refused_does_not_keep_the_address(
    dispute: Dispute, ruth: Person, committed: Callable[[], Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A mail server says the address back, at times in capitals."""
    address = dispute.rental.customer.email

    def no_mailbox(*_: Any) -> int:
        raise SMTPRecipientsRefused({address: (550, f"<{address.upper()}>: no such mailbox".encode())})

    monkeypatch.setattr(EmailBackend, "send_messages", no_mailbox)
    with committed():
        decided(dispute, ruth)
    row = Delivery.objects.get()
    assert (row.outcome, row.address) == ("failed", address)
    assert "no such mailbox" in row.problem
    assert address not in row.problem.lower()


@pytest.mark.usefixtures("letter_unprinted")
def test_without_an_address(dispute: Dispute, ruth: Person, committed: Callable[[], Any]) -> None:
    dispute.rental.customer.email = ""
    dispute.rental.customer.save()
    with committed():
        decided(dispute, ruth)
    assert (Delivery.objects.get().outcome, mail.outbox) == ("no_address", [])


@pytest.mark.usefixtures("letter_unprinted")
def test_pressed_twice_it_is_sent_again_once(dispute: Dispute, ruth: Person, committed: Callable[[], Any]) -> None:
    with committed():
        decided(dispute, ruth)
    act = an_act(ruth, at=DAYS_LATER)
    for _ in range(2):
        send_again(Letter.objects.get(), act=act)
    assert len(mail.outbox) == 2


@pytest.mark.usefixtures("letter_unprinted")
def test_a_coordinator_sends_nothing(
    dispute: Dispute, ruth: Person, maeve: Person, committed: Callable[[], Any]
) -> None:
    with committed():
        decided(dispute, ruth)
    with pytest.raises(NotAllowed):
        send_again(Letter.objects.get(), act=an_act(maeve, at=DAYS_LATER))


def test_a_text_that_no_face_can_draw_is_said(
    dispute: Dispute, ruth: Person, committed: Callable[[], Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The decision stands; the letter says why it is not there, and is made once that is put right."""
    monkeypatch.setattr("handover.dispute.letter.paper.refuse_complaints", missing)
    with committed():
        decided(dispute, ruth)
    letter = Letter.objects.get()
    assert letter.state == "failed"
    assert "can draw U+" in letter.problem
    monkeypatch.undo()
    make_letter.enqueue(str(letter.pk))
    letter.refresh_from_db()
    assert (letter.state, letter.problem) == ("ready", "")


def missing(_: list[str]) -> None:
    raise render.MissingGlyph(["U+13000"])
