"""A file on the check page: whole and ours, or why not. Whatever it is, the answer is a page with a sentence."""

import re
import zlib
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from asn1crypto import cms, pem, x509
from django.conf import settings
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.handlers.wsgi import WSGIRequest
from django.test import Client, override_settings
from pyhanko.keys import load_cert_from_pemder, load_private_key_from_pemder
from pyhanko.sign.signers import SimpleSigner
from pyhanko_certvalidator.registry import SimpleCertificateStore

from handover.checkpage import queries
from handover.checkpage.commands import commands
from handover.checkpage.throttle import MOST, Kind
from handover.photo import uploading
from handover.record.demo_keys import ROOT, SEAL, SEAL_KEY, demo_keys
from handover.record.lasting import as_sealed
from handover.record.models import Record
from handover.record.seal import seal
from handover.record.seal_parts import seal_parts
from shared.canonical import sha256_hex
from tests.checkpage.test_lookup import PERSONAL
from tests.record.conftest import small_pdf

pytestmark = pytest.mark.django_db


def send(client: Client, data: bytes, **said: str) -> tuple[int, str]:
    answer = client.post("/check/", {"record": SimpleUploadedFile("record.pdf", data, "application/pdf")}, **said)
    return answer.status_code, answer.text


def test_a_record_as_it_was_sealed(client: Client, made_record: Record, pdf: bytes, made_entry: int) -> None:
    status, text = send(client, pdf)
    assert status == 200
    assert "<b>Valid.</b>" in text
    assert f"{made_record.rental.number}, pickup" in text
    assert "Sealed by Larkmoor Campers demo" in text
    assert f"Entry {made_entry} of the chain" in text


def test_tells_nothing_of_a_person(client: Client, pdf: bytes) -> None:
    _status, text = send(client, pdf)
    assert [word for word in PERSONAL if word in text] == []


def test_an_earlier_version_says_that_a_later_one_exists(client: Client, pdf: bytes, later: Record) -> None:
    _status, text = send(client, pdf)
    assert "<b>Valid.</b>" in text
    assert "A later version exists." in text
    assert later.pdf_sha256 in text


def test_a_flipped_byte(client: Client, pdf: bytes) -> None:
    for place in (400, len(pdf) // 2, len(pdf) - 10):
        status, text = send(client, pdf[:place] + bytes([pdf[place] ^ 1]) + pdf[place + 1 :])
        assert status == 200
        assert "<b>Not valid.</b>" in text
        assert sha256_hex(pdf) not in text


def test_a_cut_file(client: Client, pdf: bytes) -> None:
    assert "bytes are missing at the end of the file" in send(client, pdf[:-100])[1]


def test_a_file_that_something_was_added_to(client: Client, pdf: bytes) -> None:
    assert "3 bytes were added after sealing." in send(client, pdf + b"%%%")[1]


GARBAGE = {
    "nothing": b"",
    "a text": b"This is a record.",
    "a photo": b"\xff\xd8\xff\xe0" + b"0" * 100,
    "a pdf without a seal": small_pdf(),
    "a head alone": b"%PDF-1.7\n",
    "half a range": b"%PDF-1.7\n/ByteRange [0 10 20",
    "a range of nonsense": b"%PDF-1.7\n/ByteRange [0 999999999999 0 0]",
    "a range within itself": b"%PDF-1.7\n/ByteRange [0 5 4 60]" + b"<00>" + b" " * 30,
    "hex that is no seal": b"%PDF-1.7\n/ByteRange [0 38 46 1]      <00FF00> ",
    "zero bytes": b"\0" * 5000,
    "a bomb": b"%PDF-1.7\n1 0 obj<</Filter/FlateDecode>>stream\n" + zlib.compress(b"0" * 50_000_000) + b"endstream",
    "markup": b"%PDF-1.7<script>alert(1)</script>",
}


@pytest.mark.parametrize("name", GARBAGE)
def test_any_garbage_is_a_sentence(client: Client, name: str) -> None:
    status, text = send(client, GARBAGE[name] or b" ")
    assert status == 200
    assert "<b>Not valid.</b>" in text
    assert "<script>alert" not in text


def test_an_empty_file_is_said_to_be_empty(client: Client) -> None:
    answer = client.post("/check/", {"record": SimpleUploadedFile("record.pdf", b"")})
    assert answer.status_code in {200, 422}
    assert "The file is empty." in answer.text or "Choose a file" in answer.text


@override_settings(PHOTO_MAX_BYTES=1000)
def test_a_file_too_large_is_refused_before_it_is_kept(client: Client) -> None:
    status, text = send(client, b"%PDF-1.7" + b"0" * 4000)
    assert status == 422
    assert "This file has more than" in text


@override_settings(PHOTO_MAX_BYTES=1000)
def test_many_files_at_once_are_not_read(client: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    """What a request announces is enough to refuse it."""
    monkeypatch.setattr(uploading, "FIELDS", 100)
    files = [SimpleUploadedFile(f"{n}.pdf", b"0" * 900) for n in range(3)]
    monkeypatch.setattr(WSGIRequest, "_load_post_and_files", lambda request: pytest.fail("the body was read"))
    answer = client.post("/check/", {"record": files})
    assert answer.status_code == 413
    assert "This file has more than" in answer.text


def strangers(folder: Path) -> SimpleSigner:
    """A key of the same names under a root that is not the operator's."""
    keys = demo_keys(folder)
    store = SimpleCertificateStore()
    store.register(load_cert_from_pemder(keys / ROOT))
    return SimpleSigner(
        load_cert_from_pemder(keys / SEAL), load_private_key_from_pemder(keys / SEAL_KEY, None), store
    )  # fmt: skip


@pytest.fixture
def foreign(tmp_path: Path) -> bytes:
    return seal(small_pdf("<script>alert(1)</script>"), signer=strangers(tmp_path / "keys"), reason="Record")


def test_a_seal_under_another_root(client: Client, foreign: bytes) -> None:
    _status, text = send(client, foreign)
    assert "<b>Not valid.</b>" in text
    assert "does not lead to the root certificate" in text


def test_a_strangers_file_is_never_opened(
    client: Client, foreign: bytes, pdf: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A reader of PDF unpacks what it is told to unpack: only what was sealed under our root comes that far."""
    opened = []
    real = queries.verify
    monkeypatch.setattr(queries, "verify", lambda *args, **said: opened.append(1) or real(*args, **said))
    for data in (foreign, *GARBAGE.values(), pdf[:-1]):
        send(client, data or b" ")
    assert opened == []
    send(client, pdf)
    assert opened == [1]


def with_seal(pdf: bytes, der: bytes) -> bytes:
    """The file with other bytes in the place of its seal."""
    start, end = seal_parts(pdf).gap
    return pdf[: start + 1] + der.hex().upper().encode().ljust(end - start - 2, b"0") + pdf[end - 1 :]


@pytest.mark.parametrize("version", [1, 4, 127])
def test_a_certificate_of_a_version_that_there_is_none_of(client: Client, foreign: bytes, version: int) -> None:
    der, v3 = seal_parts(foreign).cms, b"\xa0\x03\x02\x01\x02"
    assert v3 in der
    status, text = send(client, with_seal(foreign, der.replace(v3, v3[:-1] + bytes([version]))))
    assert (status, "<b>Not valid.</b>" in text) == (200, True)


@pytest.mark.parametrize("algorithm", ["rsassa_pkcs1v15", "ed25519", "sha1_dsa", "1.2.3.4"])
def test_our_certificate_under_an_algorithm_that_is_not_its_keys(client: Client, pdf: bytes, algorithm: str) -> None:
    """Whoever holds a Record can write its digest anew and name any algorithm."""
    sealed = as_sealed(pdf)
    other = sealed[:12] + bytes([sealed[12] ^ 1]) + sealed[13:]
    was, now = (seal_parts(each) for each in (sealed, other))
    said = was.cms.replace(bytes.fromhex(sha256_hex(was.covered)), bytes.fromhex(sha256_hex(now.covered)))
    info = cms.ContentInfo.load(said)
    info["content"]["signer_infos"][0]["signature_algorithm"]["algorithm"] = algorithm
    status, text = send(client, with_seal(other, info.dump(force=True)))
    assert (status, "<b>Not valid.</b>" in text) == (200, True)


def test_a_length_that_is_no_number(client: Client) -> None:
    answer = client.post("/check/", b"x", "multipart/form-data; boundary=x", CONTENT_LENGTH="abc")
    assert answer.status_code < 500


def test_sealed_by_us_but_kept_nowhere(client: Client, pdf: bytes) -> None:
    Record.objects.update(pdf_sha256="0" * 64)
    _status, text = send(client, pdf)
    assert "<b>Valid.</b>" in text
    assert "no Record with this digest is kept here" in text


def test_file_after_file_is_stopped(client: Client) -> None:
    answers = [send(client, b"no record")[0] for _ in range(MOST[Kind.FILE] + 1)]
    assert answers == [200] * MOST[Kind.FILE] + [429]


def test_the_commands_are_those_of_readme(client: Client) -> None:
    read_me = (Path(settings.BASE_DIR) / "README.md").read_text()
    assert re.search(r"```sh\n(.*?)```", read_me, re.S)[1] == commands()  # type: ignore[index]
    page = client.get("/check/").text
    assert "pdfsig -nocert record.pdf" in page
    assert "openssl cms -verify -inform DER" in page


def test_the_root_certificate_is_there_to_take(client: Client) -> None:
    answer = client.get("/check/ca.pem")
    assert answer.content.startswith(b"-----BEGIN CERTIFICATE-----")
    assert b"PRIVATE" not in answer.content
    _name, _headers, der = pem.unarmor(answer.content)
    assert x509.Certificate.load(der).not_valid_after > datetime.now(UTC) + timedelta(days=30)
