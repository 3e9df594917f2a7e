"""A time stamp in the seal (B-T) and a seal that lasts (B-LTA), with an authority of the test's own."""

import random
import re
import shutil
import subprocess
from collections.abc import Sequence
from io import BytesIO
from pathlib import Path

import pytest
from asn1crypto import pem, x509
from django.conf import settings
from pyhanko.pdf_utils.generic import TextStringObject
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.signers import PdfTimeStamper, Signer
from pyhanko.sign.timestamps import DummyTimeStamper

from handover.checkpage.gate import check_sealed
from handover.record.lasting import as_sealed, stamp_of
from handover.record.seal import seal
from handover.record.seal_parts import NotASeal, seal_parts, tokens_in
from handover.record.verify import verify
from shared.canonical import sha256_hex
from tests.record.conftest import small_pdf
from tests.record.test_verify import timestamping_key

SPREAD = random.Random(20418)  # noqa: S311
READ_ME = (Path(settings.BASE_DIR) / "README.md").read_text()
BLOCKS = re.findall(r"```sh\n(.*?)```", READ_ME, re.S)
RECIPE, CUT = BLOCKS[0], next(block for block in BLOCKS if "lasting.pdf" in block)


@pytest.fixture(scope="module")
def clock() -> DummyTimeStamper:
    return DummyTimeStamper(*timestamping_key())


@pytest.fixture(scope="module")
def both(roots: list[x509.Certificate], clock: DummyTimeStamper) -> list[x509.Certificate]:
    """The operator's root and the authority's."""
    return [*roots, clock.tsa_cert]


@pytest.fixture(scope="module")
def stamped(signer: Signer, clock: DummyTimeStamper) -> bytes:
    return seal(small_pdf(), signer=signer, reason="x", timestamper=clock)


@pytest.fixture(scope="module")
def lasting(signer: Signer, clock: DummyTimeStamper, both: list[x509.Certificate]) -> bytes:
    return seal(small_pdf(), signer=signer, reason="x", timestamper=clock, lasting=both)


def undetected(pdf: bytes, places: Sequence[int], roots: list[x509.Certificate]) -> list[int]:
    def flipped(place: int) -> bytes:
        return pdf[:place] + bytes([pdf[place] ^ 1 << place % 7]) + pdf[place + 1 :]

    return [place for place in places if verify(flipped(place), roots=roots).valid]


def why_not(pdf: bytes, roots: list[x509.Certificate]) -> str:
    verdict = verify(pdf, roots=roots)
    assert not verdict.valid
    return verdict.sentences[-1]


def test_without_an_authority_nothing_lasts(signer: Signer, roots: list[x509.Certificate]) -> None:
    plain = seal(small_pdf(), signer=signer, reason="x", lasting=roots)
    assert as_sealed(plain) == plain
    assert verify(plain, roots=roots).valid


def test_no_byte_of_a_time_stamp_in_the_seal_may_be_flipped(stamped: bytes, both: list[x509.Certificate]) -> None:
    parts = seal_parts(stamped)
    (token,) = tokens_in(parts.cms)
    start = parts.gap[0] + 1 + 2 * parts.cms.index(token)
    assert undetected(stamped, SPREAD.sample(range(start, start + 2 * len(token)), 60), both) == []


def test_a_lasting_seal_says_who_stamped_the_whole(lasting: bytes, both: list[x509.Certificate]) -> None:
    verdict = verify(lasting, roots=both)
    assert verdict.valid
    assert verdict.sha256 == sha256_hex(lasting)
    assert f"all {len(lasting)} bytes of it stamped by Larkmoor clock" in "\n".join(verdict.sentences)


def test_the_file_as_it_was_sealed_stands_in_it(lasting: bytes, both: list[x509.Certificate]) -> None:
    sealed = as_sealed(lasting)
    assert lasting.startswith(sealed)
    assert len(sealed) < len(lasting)
    assert verify(sealed, roots=both).valid


def test_it_holds_the_certificates_that_prove_it(lasting: bytes, both: list[x509.Certificate]) -> None:
    kept = PdfFileReader(BytesIO(lasting)).root["/DSS"]["/Certs"]
    inside = {x509.Certificate.load(row.get_object().data).sha256 for row in kept}
    assert {row.sha256 for row in both} & inside


def test_no_byte_of_a_lasting_seal_may_be_flipped(lasting: bytes, both: list[x509.Certificate]) -> None:
    behind = len(as_sealed(lasting))
    gap = len(lasting) - len(stamp_of(lasting, lasting[:behind]).covered)
    stamp = lasting.index(b"<", lasting.rindex(b"/Contents"))
    places = SPREAD.sample(range(len(lasting)), 40) + SPREAD.sample(range(behind, len(lasting)), 40)
    places += SPREAD.sample(range(stamp, stamp + gap), 40)
    assert undetected(lasting, places, both) == []


def test_without_the_authoritys_root_it_is_not_sound(lasting: bytes, roots: list[x509.Certificate]) -> None:
    assert "is not sound" in why_not(lasting, roots)


def test_something_printed_added_behind_the_seal(
    signer: Signer, clock: DummyTimeStamper, lasting: bytes, both: list[x509.Certificate]
) -> None:
    """A stamp of the same authority over a file that says it is in another language."""
    writer = IncrementalPdfFileWriter(BytesIO(as_sealed(lasting)))
    writer.root["/Lang"] = TextStringObject("de")
    writer.update_root()
    changed = BytesIO()
    writer.write(changed)
    out = BytesIO()
    PdfTimeStamper(clock).timestamp_pdf(IncrementalPdfFileWriter(changed), "sha256", output=out)
    assert "Something other than its proof was added" in why_not(out.getvalue(), both)


@pytest.mark.parametrize("cut", [1, 400, 4000])
def test_a_cut_one(lasting: bytes, both: list[x509.Certificate], cut: int) -> None:
    assert not verify(lasting[:-cut], roots=both).valid


def test_the_gate_of_the_check_page_lets_it_through(lasting: bytes, both: list[x509.Certificate]) -> None:
    check_sealed(lasting, roots=both)


def test_the_gate_refuses_a_strangers_stamp_unopened(lasting: bytes, roots: list[x509.Certificate]) -> None:
    with pytest.raises(NotASeal, match="does not lead to the root"):
        check_sealed(lasting, roots=roots)


@pytest.mark.skipif(shutil.which("pdfsig") is None or shutil.which("openssl") is None, reason="needs the tools")
def test_readme_says_how_to_check_one_without_us(lasting: bytes, roots: list[x509.Certificate], tmp_path: Path) -> None:
    """The file as it was sealed is cut off, word for word as README has it, and checked as any other."""
    (tmp_path / "lasting.pdf").write_bytes(lasting)
    (tmp_path / "ca.pem").write_bytes(b"".join(pem.armor("CERTIFICATE", row.dump()) for row in roots))
    done = subprocess.run(
        ["bash", "-c", f"{CUT}\n{RECIPE}"], cwd=tmp_path, capture_output=True, text=True, timeout=60, check=False
    )
    assert "Total document signed" in done.stdout
    assert "CMS Verification successful" in done.stderr
