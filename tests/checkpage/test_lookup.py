"""Where the QR code of a record leads: open to anyone, without anything of a person."""

import json
import re
from datetime import UTC, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from handover.checkpage.models import CheckTry
from handover.checkpage.throttle import MOST, Kind
from handover.dayseal.sealing import seal_days
from handover.record.keys import trusted_roots
from handover.record.models import Record
from handover.record.verify import verify
from shared.canonical import sha256_hex
from shared.files.store import read
from shared.ledger.models import DaySeal, Entry

# Each kind of row that its chain states is read again and compared.
MOST_QUERIES = 30
UNKNOWN = "No Record has this number with this code."
# What a person has in the demo's rental: name, e-mail, plate, and any amount.
PERSONAL = ("Maren", "Oduya", "example.org", "£", "LRK 407", "1000.00", "500.00")


def address(record: Record) -> str:
    return f"/check/{record.rental.number}/{record.code}/"


def test_anyone_can_look_it_up(client: Client, made_record: Record) -> None:
    text = client.get(address(made_record)).text
    assert "<b>Valid.</b>" in text
    assert made_record.pdf_sha256 in text
    assert "Sealed by Larkmoor Campers demo" in text


def test_the_address_printed_on_it_leads_there(client: Client, made_record: Record) -> None:
    verdict = verify(read(made_record.file), roots=trusted_roots())
    printed = json.loads(verdict.record_json or b"{}")["record"]["page_url"]
    assert client.get(re.sub(r"^http://[^/]+", "", printed)).status_code == 200


def test_tells_nothing_of_a_person(client: Client, made_record: Record) -> None:
    text = client.get(address(made_record)).text
    for word in PERSONAL:
        assert word not in text


def test_no_value_of_the_rental_is_on_the_page(client: Client, made_record: Record) -> None:
    """Each text and amount of record.json that tells of somebody, searched for one by one."""
    verdict = verify(read(made_record.file), roots=trusted_roots())
    document = json.loads(verdict.record_json or b"{}")
    texts = [document["rental"][name] for name in ("customer", "deposit", "excess")] + document["rental"]["drivers"]
    texts += [row["who"] for row in document["signatures"]] + [row["by"] for row in document["walk_rounds"]]
    texts += [document["unit"]["plate"], document["unit"]["number"]]
    text = re.sub(r"[0-9a-f]{64}", "", client.get(address(made_record)).text)
    assert [word for word in texts if word and re.search(rf"\b{re.escape(word)}\b", text)] == []


def test_number_and_code_may_be_typed_small(client: Client, made_record: Record) -> None:
    assert client.get(address(made_record).lower()).status_code == 200
    typed = {"number": f" {made_record.rental.number.lower()} ", "code": made_record.code.lower()}
    assert client.post("/check/", typed).status_code == 200


def test_its_place_in_the_ledger_is_told(client: Client, made_record: Record, made_entry: int) -> None:
    text = client.get(address(made_record)).text
    assert f"Entry {made_entry} of the chain of its rental" in text
    assert "The chain is whole: each entry follows from the one before it." in text


def test_the_seal_of_the_day_is_told(client: Client, made_record: Record, made_entry: int) -> None:
    assert "Its day is not under a day seal yet." in client.get(address(made_record)).text
    entry = Entry.objects.get(chain=made_record.rental_id, sequence=made_entry)
    list(seal_days(now=timezone.now() + timedelta(days=1)))
    day = entry.recorded_at.astimezone(UTC).date()
    seal = DaySeal.objects.get(day=day)
    assert f"is under day seal {seal.number}, which holds." in client.get(address(made_record)).text


def test_a_day_seal_that_does_not_hold_is_told(client: Client, made_record: Record, made_entry: int) -> None:
    seal = DaySeal(number=1, day=timezone.now().date(), document="{}", signature=b"-")
    DaySeal.objects.bulk_create([seal])
    assert "Day seal 1 does not hold" in client.get(address(made_record)).text


def test_right_ones_without_end_are_stopped(client: Client, waiting_record: Record, monkeypatch: object) -> None:
    monkeypatch.setitem(MOST, Kind.LOOK, 3)  # type: ignore[attr-defined]
    assert [client.get(address(waiting_record)).status_code for _ in range(4)] == [200, 200, 200, 429]


def test_an_entry_of_another_file_is_not_its_place(client: Client, made_record: Record, made_entry: int) -> None:
    Record.objects.filter(pk=made_record.pk).update(pdf_sha256="0" * 64)
    assert "The Ledger does not tell of this file." in client.get(address(made_record)).text


def test_a_later_version_is_told_by_its_digest(client: Client, made_record: Record, later: Record) -> None:
    text = client.get(address(made_record)).text
    assert "A later version exists." in text
    assert later.pdf_sha256 in text
    assert "A later version exists." not in client.get(address(later)).text


def same(text: str) -> str:
    """Without what was typed, which stays in the fields."""
    return re.sub(r'value="[^"]*"', "", text)


def test_a_wrong_code_is_answered_as_an_unknown_number_is(client: Client, made_record: Record) -> None:
    wrong = client.get(f"/check/{made_record.rental.number}/AAAA-AAAA/")
    unknown = client.get("/check/LK-1/AAAA-AAAA/")
    other = client.get(f"/check/LK-1/{made_record.code}/")
    assert {answer.status_code for answer in (wrong, unknown, other)} == {404}
    assert UNKNOWN in wrong.text
    assert same(wrong.text) == same(unknown.text) == same(other.text)


def test_a_wrong_pair_asks_the_database_no_more_often(client: Client, made_record: Record) -> None:
    asked = []
    for number in (made_record.rental.number, "LK-1"):
        with CaptureQueriesContext(connection) as queries:
            client.get(f"/check/{number}/AAAA-AAAA/")
        asked.append(len(queries))
    assert asked[0] == asked[1]


def test_being_made(client: Client, waiting_record: Record) -> None:
    text = client.get(address(waiting_record)).text
    assert "<b>Being made.</b> Look again in a minute." in text
    assert "There is no file to check yet." in text


def test_is_kept_by_no_cache_and_told_to_nobody(client: Client, waiting_record: Record) -> None:
    for answer in (client.get(address(waiting_record)), client.get("/check/")):
        assert "no-store" in answer["Cache-Control"]
        assert answer["Referrer-Policy"] == "no-referrer"
        assert "noindex" in answer["X-Robots-Tag"]


def test_only_shows(client: Client, waiting_record: Record) -> None:
    assert client.post(address(waiting_record)).status_code == 405


@pytest.mark.django_db
@pytest.mark.parametrize("typed", [{}, {"number": " ", "code": ""}])
def test_nothing_typed_is_a_sentence(client: Client, typed: dict[str, str]) -> None:
    answer = client.post("/check/", typed)
    assert answer.status_code == 422
    assert "Choose a file, or type number and code." in answer.text


@pytest.mark.django_db
@pytest.mark.parametrize("number", ["a\0b", "x" * 5000, "' OR 1=1 --", "<script>", "٣٤"])
def test_whatever_is_typed_is_answered(client: Client, number: str) -> None:
    answer = client.post("/check/", {"number": number, "code": number})
    assert answer.status_code == 404
    assert "<script>alert" not in answer.text


def guess(client: Client, **said: str) -> int:
    return client.post("/check/", {"number": "LK-20418", "code": "AAAA-AAAA"}, **said).status_code


@pytest.mark.django_db
def test_guessing_is_stopped(client: Client) -> None:
    answers = [guess(client) for _ in range(MOST[Kind.PAIR] + 1)]
    assert answers == [404] * MOST[Kind.PAIR] + [429]


def test_who_is_stopped_does_not_learn_a_right_one(client: Client, made_record: Record) -> None:
    for _ in range(MOST[Kind.PAIR] + 1):
        guess(client)
    answer = client.get(address(made_record))
    assert answer.status_code == 429
    assert answer["Retry-After"] == "3600"
    assert "<b>Valid.</b>" not in answer.text


def test_right_ones_are_no_guesses(client: Client, waiting_record: Record) -> None:
    for _ in range(MOST[Kind.PAIR] + 5):
        assert client.get(address(waiting_record)).status_code == 200


@pytest.mark.django_db
def test_another_address_is_not_stopped_with_it(client: Client) -> None:
    for _ in range(MOST[Kind.PAIR] + 1):
        guess(client)
    assert guess(client, REMOTE_ADDR="192.0.2.7") == 404


@pytest.mark.django_db
def test_addresses_of_one_household_count_together(client: Client) -> None:
    answers = [guess(client, REMOTE_ADDR=f"2001:db8:1:2::{n:x}") for n in range(MOST[Kind.PAIR] + 1)]
    assert answers[-1] == 429
    assert guess(client, REMOTE_ADDR="2001:db8:1:3::1") == 404


@pytest.mark.django_db
def test_a_made_up_forwarded_address_helps_nobody(client: Client, settings: object) -> None:
    """Without a proxy the header counts for nothing; behind one only what our own proxy wrote last."""
    for proxies in (0, 1):
        settings.PROXIES = proxies  # type: ignore[attr-defined]
        CheckTry.objects.all().delete()
        said = [f"10.0.0.{n}" + (", 192.0.2.1" if proxies else "") for n in range(MOST[Kind.PAIR] + 1)]
        assert [guess(client, HTTP_X_FORWARDED_FOR=text) for text in said][-1] == 429


@pytest.mark.django_db
def test_no_address_is_kept(client: Client) -> None:
    guess(client, REMOTE_ADDR="192.0.2.7")
    for row in CheckTry.objects.all():
        assert re.fullmatch("[0-9a-f]{64}", row.who)
        assert row.who != sha256_hex(b"192.0.2.7")


def test_the_number_of_queries_is_fixed(client: Client, made_record: Record, made_entry: int) -> None:
    with CaptureQueriesContext(connection) as queries:
        client.get(address(made_record))
    assert len(queries) <= MOST_QUERIES
