"""The page of a record: being made, could not be made, made; its file and its proof."""

from pathlib import Path

import pytest
from django.core.files.storage import storages
from django.test import Client

from handover.record.models import Record
from shared.canonical import sha256_hex
from shared.files.store import read


def page(client: Client, record: Record, tail: str = "") -> str:
    return client.get(f"/record/{record.pk}/{tail}").text


def test_being_made(as_isla: Client, waiting_record: Record) -> None:
    text = page(as_isla, waiting_record)
    assert "<b>Being made.</b> You can leave this page." in text
    assert "record.pdf" not in text


def test_could_not_be_made(as_isla: Client, waiting_record: Record) -> None:
    Record.objects.update(state="failed", problem="No face on this machine can draw ᚠ.")
    text = page(as_isla, waiting_record)
    assert "No face on this machine can draw ᚠ." in text
    assert "Make it again" in text


def test_made_again(as_isla: Client, waiting_record: Record) -> None:
    Record.objects.update(state="failed", problem="No face.")
    as_isla.post(f"/record/{waiting_record.pk}/make-again/")
    waiting_record.refresh_from_db()
    assert (waiting_record.state, waiting_record.problem) == ("ready", "")


def test_made(as_isla: Client, made_record: Record) -> None:
    text = page(as_isla, made_record)
    for words in (made_record.pdf_sha256, made_record.json_sha256, made_record.code, "this is the first of its rental"):
        assert words in text


def test_the_file(as_isla: Client, made_record: Record) -> None:
    answer = as_isla.get(f"/record/{made_record.pk}/record.pdf")
    assert sha256_hex(answer.content) == made_record.pdf_sha256
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == f'inline; filename="{made_record.rental.number}-pickup-1.pdf"'
    assert answer["Cache-Control"] == "private, no-store"
    assert "Content-Security-Policy" not in answer


def test_the_file_to_keep(as_isla: Client, made_record: Record) -> None:
    answer = as_isla.get(f"/record/{made_record.pk}/record.pdf?download")
    assert answer["Content-Disposition"].startswith("attachment")


def test_no_file_yet_leads_to_the_page(as_isla: Client, waiting_record: Record) -> None:
    assert as_isla.get(f"/record/{waiting_record.pk}/record.pdf").url == f"/record/{waiting_record.pk}/"


def test_valid_when_checked(as_isla: Client, made_record: Record) -> None:
    text = page(as_isla, made_record, "check/")
    assert "<b>Valid.</b>" in text
    assert "forbids any change; nothing was changed." in text


def altered(record: Record) -> None:
    data = bytearray(read(record.file))
    data[-100] ^= 1
    storages["evidence"].delete(record.file)
    Path(storages["evidence"].path(record.file)).write_bytes(data)


def test_not_valid_when_a_byte_is_flipped(as_isla: Client, made_record: Record) -> None:
    altered(made_record)
    text = page(as_isla, made_record, "check/")
    assert "<b>Not valid.</b>" in text
    assert "its bytes have changed." in text


def test_an_altered_file_is_not_given_out(as_isla: Client, made_record: Record) -> None:
    altered(made_record)
    assert as_isla.get(f"/record/{made_record.pk}/record.pdf").url == f"/record/{made_record.pk}/check/"


def test_a_lost_file_says_so(as_isla: Client, made_record: Record) -> None:
    storages["evidence"].delete(made_record.file)
    assert "The file is gone from the store." in page(as_isla, made_record, "check/")


def test_making_again_needs_its_right(as_maeve: Client, waiting_record: Record) -> None:
    assert as_maeve.post(f"/record/{waiting_record.pk}/make-again/").status_code == 403


@pytest.mark.parametrize("tail", ["", "check/", "record.pdf"])
def test_another_branch_is_not_there(as_ida: Client, waiting_record: Record, tail: str) -> None:
    assert as_ida.get(f"/record/{waiting_record.pk}/{tail}").status_code == 404


@pytest.mark.parametrize("tail", ["", "check/", "record.pdf"])
def test_only_shows(as_isla: Client, waiting_record: Record, tail: str) -> None:
    assert as_isla.post(f"/record/{waiting_record.pk}/{tail}").status_code == 405
