"""A demo key, and Records made once: sealing and rendering cost more than everything asked of them here."""

import functools
from collections.abc import Iterator
from pathlib import Path

import pytest
from asn1crypto import x509
from pyhanko.sign.signers import Signer
from weasyprint import HTML, Attachment

from handover.record.document import content_from
from handover.record.key_source import NAMES, KeySource
from handover.record.keys import sealing_key, trusted_roots
from handover.record.render import render
from handover.record.seal import seal
from shared.canonical import canonical
from tests.record import sample


def demo_source(folder: Path, *, production: bool = False, **values: str) -> KeySource:
    return KeySource(dict.fromkeys(NAMES, "") | values, folder, production)


@pytest.fixture(scope="session")
def source(tmp_path_factory: pytest.TempPathFactory) -> KeySource:
    return demo_source(tmp_path_factory.mktemp("var"))


@pytest.fixture(scope="session")
def signer(source: KeySource) -> Iterator[Signer]:
    with sealing_key(source) as key:
        yield key


@pytest.fixture(scope="session")
def roots(source: KeySource) -> list[x509.Certificate]:
    return trusted_roots(source)


@functools.cache
def small_pdf(text: str = "Unit 407", *, attached: int = 1) -> bytes:
    files = [Attachment(string=b'{"a":1}', name="record.json", relationship="Source") for _ in range(attached)]
    page = HTML(string=f"<html lang=en><title>Record</title><p>{text}")
    return bytes(page.write_pdf(pdf_variant="pdf/a-3a", pdf_identifier=b"0" * 16, attachments=files))


@pytest.fixture(scope="session")
def small(signer: Signer) -> bytes:
    return seal(small_pdf(), signer=signer, reason="Record LK-20418, return", place="Inverlark")


def rendered(document: sample.Document) -> bytes:
    content = content_from(document)
    return render(content, sample.PHOTOS, attachment=canonical(document), plan=sample.PLAN)


@pytest.fixture(scope="session")
def printed() -> bytes:
    return rendered(sample.return_record())


@pytest.fixture(scope="session")
def sealed(printed: bytes, signer: Signer) -> bytes:
    return seal(printed, signer=signer, reason="Record LK-20418, return")
