"""Where the QR code of a record leads: open to anyone, without anything of a person."""

import json
import re

from django.test import Client

from handover.record.keys import trusted_roots
from handover.record.models import Record
from handover.record.verify import verify
from shared.files.store import read


def address(record: Record) -> str:
    return f"/r/{record.rental.number}/{record.code}/"


def test_anyone_can_look_it_up(client: Client, made_record: Record) -> None:
    text = client.get(address(made_record)).text
    assert "<b>Valid.</b>" in text
    assert made_record.pdf_sha256 in text


def test_the_address_printed_on_it_leads_there(client: Client, made_record: Record) -> None:
    verdict = verify(read(made_record.file), roots=trusted_roots())
    printed = json.loads(verdict.record_json or b"{}")["record"]["page_url"]
    assert client.get(re.sub(r"^http://[^/]+", "", printed)).status_code == 200


def test_tells_nothing_of_a_person(client: Client, made_record: Record) -> None:
    text = client.get(address(made_record)).text
    for word in ("Maren", "Oduya", "example.org", "£", "LRK 407"):
        assert word not in text


def test_number_and_code_may_be_typed_small(client: Client, made_record: Record) -> None:
    assert client.get(address(made_record).lower()).status_code == 200


def test_a_wrong_code_is_not_there(client: Client, made_record: Record) -> None:
    answer = client.get(f"/r/{made_record.rental.number}/AAAA-AAAA/")
    assert answer.status_code == 404
    assert "Nothing is at this address." in answer.text


def test_a_code_of_another_record_is_not_there(client: Client, made_record: Record) -> None:
    assert client.get(f"/r/LK-1/{made_record.code}/").status_code == 404


def test_being_made(client: Client, waiting_record: Record) -> None:
    text = client.get(address(waiting_record)).text
    assert "<b>Being made.</b> Look again in a minute." in text
    assert "There is no file to check yet." in text


def test_is_kept_by_no_cache(client: Client, waiting_record: Record) -> None:
    assert "no-store" in client.get(address(waiting_record))["Cache-Control"]


def test_only_shows(client: Client, waiting_record: Record) -> None:
    assert client.post(address(waiting_record)).status_code == 405
