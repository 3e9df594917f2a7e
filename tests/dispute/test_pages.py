"""The pages: the list by its deadline, the one case, its forms, what they say when something cannot be."""

import re
from collections.abc import Callable
from datetime import date
from html import unescape
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from handover.dispute.models import Bundle, Decision, Delivery, Dispute, Letter
from handover.statement.models import Statement
from shared.access.models import Person
from shared.canonical import sha256_hex
from shared.files.store import read, remove
from shared.ids import uuid7
from tests.counter.reading import result
from tests.dispute.conftest import contest, iter_lines, the_door
from tests.factories import PASSWORD
from tests.unprinted import letter_unprinted, record_unprinted  # noqa: F401 (fixtures)

pytestmark = pytest.mark.django_db
# Where the letter and the Record are only ordered, and nobody looks into them.
unprinted = pytest.mark.usefixtures("record_unprinted", "letter_unprinted")
MOST = 14


def text_of(response: Any) -> str:
    """What a reader sees: without tags, with single spaces."""
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", response.content.decode())))


def send(client: Client, path: str, **said: Any) -> Any:
    return client.post(path, {"key": uuid7(), **said})


def at(dispute: Dispute, act: str = "") -> str:
    return f"/dispute/{dispute.pk}/{act}"


@pytest.fixture
def as_callum(client: Client, callum: Person) -> Client:
    client.force_login(callum)
    return client


def test_the_list_has_the_next_deadline_first(dispute: Dispute, as_ruth: Client) -> None:
    soon = contest(next(iter_lines(dispute.statement, "LATE")))
    Dispute.objects.filter(pk=soon.pk).update(answer_by=date(2026, 8, 20))
    seen = text_of(as_ruth.get("/branch/inverlark/disputes/"))
    assert seen.index("2 return") < seen.index("1 Mark 1, left door")
    assert "late, was due 20 Aug" in seen
    assert "answer by 6 Sept, 14 days" in seen or "answer by 6 Sep, 14 days" in seen


def test_a_long_list_says_how_many_are_open_and_late(
    dispute: Dispute, as_ruth: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("handover.dispute.queries.MOST_SHOWN", 1)
    soon = contest(next(iter_lines(dispute.statement, "LATE")))
    Dispute.objects.filter(pk__in=[soon.pk, dispute.pk]).update(answer_by=date(2026, 8, 20))
    seen = text_of(as_ruth.get("/branch/inverlark/disputes/"))
    assert "2 are late" in seen
    assert "Open 2" in seen
    assert "The first 1 of 2 are shown" in seen
    assert "2 return" not in seen


def test_an_empty_list_says_how_one_comes(as_ruth: Client, inverlark: Any) -> None:
    assert "None is open." in text_of(as_ruth.get("/branch/inverlark/disputes/"))


def test_the_page_in_a_fixed_number_of_queries(dispute: Dispute, as_ruth: Client) -> None:
    with CaptureQueriesContext(connection) as queries:
        assert as_ruth.get(at(dispute)).status_code == 200
    assert len(queries) <= MOST


@unprinted
def test_decided_it_asks_no_more(dispute: Dispute, as_ruth: Client, committed: Callable[[], Any]) -> None:
    with committed():
        send(as_ruth, at(dispute, "decide/"), outcome="waived", words="Let go", reason="staff_error")
    with committed():
        send(as_ruth, at(dispute, "bundle/"))
    with CaptureQueriesContext(connection) as queries:
        assert as_ruth.get(at(dispute)).status_code == 200
    assert len(queries) <= MOST


def test_the_list_in_a_fixed_number_of_queries(dispute: Dispute, as_ruth: Client) -> None:
    contest(next(iter_lines(dispute.statement, "LATE")))
    with CaptureQueriesContext(connection) as queries:
        as_ruth.get("/branch/inverlark/disputes/")
    assert len(queries) <= 7


def test_everything_on_one_page(dispute: Dispute, as_ruth: Client) -> None:
    seen = text_of(as_ruth.get(at(dispute)))
    for part in (
        "Mark 1, left door", "“It was there when we took the van.”", "£400.00", "Same view, both walks",
        "A pickup photo shows the same view.", "Signed at pickup by customer.", "Line stands", "Reduce", "Withdraw",
        "Decide and send", "Bundle for the card issuer", "Statement settled",
    ):  # fmt: skip
        assert part in seen, part


def test_it_is_decided_in_one_form(dispute: Dispute, as_ruth: Client, committed: Callable[[], Any]) -> None:
    """One press of a decision, the reason, one press to send: statement, record, letter and mail follow."""
    with committed():
        answer = send(as_ruth, at(dispute, "decide/"), outcome="reduced", left="150.00", words="Half", reason="weather")
    assert answer.status_code == 302
    seen = text_of(as_ruth.get(at(dispute)))
    for part in ("Reduced.", "£400.00 before, £150.00 now", "Statement version 2", "Sent, maren@example.org"):
        assert part in seen, part
    letter = as_ruth.get(f"/dispute-letter/{Letter.objects.get().pk}/letter.pdf")
    assert letter.content.startswith(b"%PDF")


def test_the_bundle_is_ordered_and_downloaded(dispute: Dispute, as_ruth: Client, committed: Callable[[], Any]) -> None:
    with committed():
        send(as_ruth, at(dispute, "bundle/"))
    row = Bundle.objects.get()
    assert f"/dispute-bundle/{row.pk}/bundle.zip" in as_ruth.get(at(dispute)).content.decode()
    answer = as_ruth.get(f"/dispute-bundle/{row.pk}/bundle.zip")
    assert sha256_hex(answer.content) == row.sha256
    assert answer["Content-Disposition"].endswith('-dispute-1.zip"')


def test_a_bundle_that_was_altered_is_not_shown(
    dispute: Dispute, as_ruth: Client, committed: Callable[[], Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    with committed():
        send(as_ruth, at(dispute, "bundle/"))
    Bundle.objects.update(file="00/00/" + "0" * 64 + ".zip")
    assert as_ruth.get(f"/dispute-bundle/{Bundle.objects.get().pk}/bundle.zip").status_code == 404


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({}, "Choose how it is decided."),
        ({"outcome": "upheld"}, "Give the reason."),
        ({"outcome": "reduced", "words": "x"}, "Write what stays due on this line: above 0 and below £400.00."),
        ({"outcome": "reduced", "words": "x", "left": "much"}, "“much” is no figure."),
        ({"outcome": "waived", "words": "x", "reason": "mood"}, "Choose the reason from the list."),
        ({"outcome": "waived", "words": "x", "second_name": "no"}, "Name and password do not go together."),
    ],
)
def test_what_cannot_be_is_said_and_kept(
    dispute: Dispute, as_ruth: Client, said: dict[str, str], sentence: str
) -> None:
    answer = send(as_ruth, at(dispute, "decide/"), **said)
    assert answer.status_code == 422
    assert sentence in text_of(answer)
    if "words" in said:
        assert ">x</textarea>" in answer.content.decode()
    assert not Decision.objects.exists()


def test_without_a_key_nothing_happens(dispute: Dispute, as_ruth: Client) -> None:
    answer = as_ruth.post(at(dispute, "decide/"), {"outcome": "upheld", "words": "x"})
    assert answer.status_code == 422
    assert "This form has no key." in text_of(answer)


def test_a_second_person_confirms_at_the_same_desk(dispute: Dispute, as_ruth: Client, callum: Person) -> None:
    rental = dispute.rental
    assert rental.frozen is not None
    rental.frozen["rules"]["waivers"] = {"limits": {"manager": "200", "return_bay": "500"}}
    rental.save(update_fields=["frozen"])
    said = {"outcome": "waived", "words": "x", "reason": "weather"}
    refused = send(as_ruth, at(dispute, "decide/"), **said)
    assert "Someone with a higher limit can confirm." in text_of(refused)
    send(as_ruth, at(dispute, "decide/"), **said, second_name="callum", second_password=PASSWORD)
    assert Decision.objects.get().second == callum


def test_a_host_sees_it_and_does_not_decide(dispute: Dispute, as_isla: Client) -> None:
    seen = text_of(as_isla.get(at(dispute)))
    assert "A manager decides it." in seen
    assert "Decide and send" not in seen
    assert send(as_isla, at(dispute, "decide/"), outcome="upheld", words="x").status_code == 403


def test_of_another_branch_it_is_not_there(dispute: Dispute, client: Client, ida: Person) -> None:
    client.force_login(ida)
    for path in (at(dispute), "/branch/inverlark/disputes/"):
        assert client.get(path).status_code == 404
    assert send(client, at(dispute, "bundle/")).status_code == 404


def test_it_waits_for_the_customer(dispute: Dispute, as_callum: Client) -> None:
    send(as_callum, at(dispute, "hand-on/"), waits_for="customer", asked="A photo, if there is one")
    assert "waits for the customer" in text_of(as_callum.get(at(dispute)))


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"waits_for": "customer"}, "Write what is asked of them"),
        ({"waits_for": "x", "asked": "y"}, "Choose whom it waits for."),
        ({"waits_for": "branch", "asked": "y", "answer_by": "soon"}, "“soon” is no day."),
    ],
)
def test_how_it_cannot_wait(dispute: Dispute, as_callum: Client, said: dict[str, str], sentence: str) -> None:
    answer = send(as_callum, at(dispute, "hand-on/"), **said)
    assert answer.status_code == 422
    assert sentence in text_of(answer)


def number_of(statement: Statement, code: str) -> int:
    return [line["code"] for line in result(statement)["lines"]].index(code) + 1


def test_opened_from_the_statement(settled: Statement, as_callum: Client, shots: tuple[bytes, bytes]) -> None:
    path = f"/statement/{settled.pk}/line/{number_of(settled, 'DAMAGE')}/dispute/"
    assert path in as_callum.get(f"/rental/{settled.rental_id}/statement/").content.decode()
    photo = SimpleUploadedFile("theirs.jpg", shots[0], "image/jpeg")
    answer = send(as_callum, path, words="She says it was there", photo=photo)
    row = Dispute.objects.get()
    assert answer["Location"] == at(row)
    assert (row.title, row.photos.count()) == ("Mark 1, left door", 1)
    assert as_callum.get(f"/dispute-photo/{row.photos.get().pk}/").content.startswith(b"\xff\xd8")
    assert f"/dispute/{row.pk}/" in as_callum.get(f"/rental/{settled.rental_id}/").content.decode()


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"words": " "}, "Nothing is written yet."),
        ({"words": "x", "photo": SimpleUploadedFile("a.jpg", b"no photo")}, "photo"),
    ],
)
def test_opened_with_what_cannot_be(settled: Statement, as_callum: Client, said: dict[str, Any], sentence: str) -> None:
    answer = send(as_callum, f"/statement/{settled.pk}/line/1/dispute/", **said)
    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert not Dispute.objects.exists()


def test_a_line_that_is_not_there(settled: Statement, as_callum: Client) -> None:
    assert as_callum.get(f"/statement/{settled.pk}/line/99/dispute/").status_code == 404


def test_a_chargeback_is_noted(settled: Statement, as_callum: Client) -> None:
    said = {"claimed": "802,50", "answer_by": "2026-09-20", "reason_code": "13.1", "words": "Not as described"}
    answer = send(as_callum, f"/rental/{settled.rental_id}/chargeback/", **said)
    row = Dispute.objects.get()
    assert answer["Location"] == at(row)
    seen = text_of(as_callum.get(at(row)))
    assert "Claimed by the bank £802.50" in seen


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"answer_by": "2026-09-20", "words": "x"}, "Write the amount that the bank claims back."),
        ({"claimed": "1e9", "answer_by": "2026-09-20", "words": "x"}, "is no figure"),
        ({"claimed": "5", "answer_by": "20.9.", "words": "x"}, "is no day"),
        ({"claimed": "5", "answer_by": "2026-09-20"}, "Write what the bank gives as the reason."),
        ({"claimed": "5", "answer_by": "2026-09-20", "words": "x", "reason_code": "y" * 41}, "There is room for 40"),
    ],
)
def test_a_chargeback_that_cannot_be(
    settled: Statement, as_callum: Client, said: dict[str, str], sentence: str
) -> None:
    answer = send(as_callum, f"/rental/{settled.rental_id}/chargeback/", **said)
    assert answer.status_code == 422
    assert sentence in text_of(answer)


@unprinted
def test_the_letter_is_sent_again(dispute: Dispute, as_ruth: Client, committed: Callable[[], Any]) -> None:
    with committed():
        send(as_ruth, at(dispute, "decide/"), outcome="upheld", words="It shows.")
    send(as_ruth, f"/dispute-letter/{Letter.objects.get().pk}/again/")
    assert Delivery.objects.count() == 2


@unprinted
def test_a_letter_whose_file_is_gone_is_not_shown(
    dispute: Dispute, as_ruth: Client, committed: Callable[[], Any]
) -> None:
    with committed():
        send(as_ruth, at(dispute, "decide/"), outcome="upheld", words="It shows.")
    letter = Letter.objects.get()
    assert read(letter.file)
    Letter.objects.update(file="")
    assert as_ruth.get(f"/dispute-letter/{letter.pk}/letter.pdf").status_code == 404


def test_managers_go_there_from_the_desk(as_ruth: Client, inverlark: Any) -> None:
    assert "/branch/inverlark/disputes/" in as_ruth.get("/branch/inverlark/desk/").content.decode()


def test_in_german_it_is_german(dispute: Dispute, as_ruth: Client, ruth: Person) -> None:
    """No figure is lost by it: the page is the same page."""
    ruth.language = "de"
    ruth.save()
    answer = as_ruth.get(at(dispute))
    assert answer.status_code == 200
    assert 'lang="de"' in answer.content.decode()
    assert "£400.00" in answer.content.decode()


def test_the_page_of_a_contested_line_without_photos(settled: Statement, as_ruth: Client) -> None:
    late = contest(next(iter_lines(settled, "LATE")))
    seen = text_of(as_ruth.get(at(late)))
    assert "Same view, both walks" not in seen
    assert "Priced by rate card 7" in seen
    assert the_door(settled).title not in seen


@pytest.mark.parametrize(("key", "sentence"), [("", "This form has no key."), ("used", "already sent as something")])
def test_a_bundle_with_a_key_that_cannot_be(dispute: Dispute, as_ruth: Client, key: str, sentence: str) -> None:
    answer = as_ruth.post(at(dispute, "bundle/"), {"key": dispute.pk if key else ""})
    assert (answer.status_code, sentence in answer.text) == (422, True)
    assert not Bundle.objects.exists()


@pytest.mark.parametrize(("key", "sentence"), [("", "This form has no key."), ("used", "already sent as something")])
@unprinted
def test_a_letter_again_with_a_key_that_cannot_be(
    dispute: Dispute, as_ruth: Client, committed: Callable[[], Any], key: str, sentence: str
) -> None:
    with committed():
        send(as_ruth, at(dispute, "decide/"), outcome="waived", words="Let go", reason="staff_error")
    before = Delivery.objects.count()
    answer = as_ruth.post(f"/dispute-letter/{Letter.objects.get().pk}/again/", {"key": dispute.pk if key else ""})
    assert (answer.status_code, sentence in answer.text) == (422, True)
    assert Delivery.objects.count() == before


@unprinted
def test_a_letter_whose_file_is_gone_is_not_sent_and_says_so(
    dispute: Dispute, as_ruth: Client, committed: Callable[[], Any]
) -> None:
    with committed():
        send(as_ruth, at(dispute, "decide/"), outcome="waived", words="Let go", reason="staff_error")
    remove(Letter.objects.get().file)
    for key in [uuid7()] * 2:
        answer = as_ruth.post(f"/dispute-letter/{Letter.objects.get().pk}/again/", {"key": key}, follow=True)
        assert "Put it back from a backup." in answer.text
    assert [row.outcome for row in Delivery.objects.order_by("at", "id")] == ["sent", "failed"]


@unprinted
def test_decided_by_another_meanwhile_the_second_is_told_and_keeps_the_words(
    dispute: Dispute, as_ruth: Client, committed: Callable[[], Any]
) -> None:
    with committed():
        send(as_ruth, at(dispute, "decide/"), outcome="upheld", words="It stands")
    answer = send(as_ruth, at(dispute, "decide/"), outcome="waived", words="Let it go", reason="staff_error")
    assert (answer.status_code, Decision.objects.get().outcome) == (422, "upheld")
    assert "is decided already. What is new is a new dispute." in answer.text
    assert "“Let it go”" in answer.text
    answer = send(as_ruth, at(dispute, "hand-on/"), waits_for="customer", asked="A receipt")
    assert "is decided already. What is new is a new dispute." in answer.text
    assert "“A receipt”" in answer.text
