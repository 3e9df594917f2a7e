"""A Record is as it was sealed, or the verdict says exactly why not."""

import random
from datetime import UTC, datetime, timedelta
from io import BytesIO

import pytest
from asn1crypto import keys, x509
from cryptography import x509 as own
from cryptography.hazmat.primitives.asymmetric import rsa
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
from cryptography.x509.oid import ExtendedKeyUsageOID
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign.fields import SigFieldSpec, SigSeedSubFilter
from pyhanko.sign.signers import PdfSignatureMetadata, PdfSigner, SimpleSigner
from pyhanko.sign.timestamps import DummyTimeStamper

from handover.record import demo_keys as demo
from handover.record.keys import read_certificates, sealing_key, trusted_roots
from handover.record.seal import seal
from handover.record.seal_parts import seal_parts
from handover.record.verify import verify
from shared.canonical import canonical, sha256_hex
from tests.record import sample
from tests.record.conftest import demo_source, small_pdf

SPREAD = random.Random(407)  # noqa: S311


def why_not(pdf: bytes, roots: list[x509.Certificate]) -> str:
    verdict = verify(pdf, roots=roots)
    assert not verdict.valid
    assert verdict.record_json is None
    return verdict.sentences[-1]


def flipped(pdf: bytes, place: int, bit: int = 0) -> bytes:
    return pdf[:place] + bytes([pdf[place] ^ 1 << bit]) + pdf[place + 1 :]


def test_a_sealed_record_is_valid(sealed, roots):
    verdict = verify(sealed, roots=roots)
    assert verdict.valid
    assert verdict.signed_by == "Larkmoor Campers demo, seal of records"
    assert abs(verdict.signed_at - datetime.now(UTC)) < timedelta(minutes=10)
    assert verdict.sha256 == sha256_hex(sealed)


def test_the_attached_record_is_what_was_given(sealed, roots):
    assert verify(sealed, roots=roots).record_json == canonical(sample.return_record())


def test_the_sentences_say_what_was_looked_at(small, roots):
    said = "\n".join(verify(small, roots=roots).sentences)
    for part in (
        "Sealed by Larkmoor",
        f"all {len(small)} bytes",
        "leads to Larkmoor",
        "record.json",
        sha256_hex(small),
    ):
        assert part in said


def test_no_byte_may_be_flipped_anywhere(small, roots):
    places = SPREAD.sample(range(len(small)), 300)
    assert [place for place in places if verify(flipped(small, place, place % 7), roots=roots).valid] == []


def test_no_byte_of_the_signature_may_be_flipped(small, roots):
    parts = seal_parts(small)
    start = parts.gap[0]
    places = range(start, start + 2 * len(parts.cms) + 20, 17)
    assert [place for place in places if verify(flipped(small, place), roots=roots).valid] == []


@pytest.mark.parametrize("side", [0, 1])
def test_no_byte_at_the_edges_of_the_gap_may_be_flipped(small, roots, side):
    edge = seal_parts(small).gap[side]
    places = range(edge - 24, edge + 24)
    assert [place for place in places if verify(flipped(small, place, 5), roots=roots).valid] == []


def test_no_byte_of_a_whole_record_may_be_flipped(sealed, roots):
    places = SPREAD.sample(range(len(sealed)), 60)
    assert [place for place in places if verify(flipped(sealed, place), roots=roots).valid] == []


def test_changed_content_is_named_as_that(small, roots):
    assert "content was changed" in why_not(flipped(small, 40), roots)


def test_small_letters_in_the_signature_are_refused(small, roots):
    start, end = seal_parts(small).gap
    lowered = small[:start] + small[start:end].lower() + small[end:]
    assert "seal's own bytes" in why_not(lowered, roots)


def test_something_hidden_behind_the_signature_is_refused(small, roots):
    end = seal_parts(small).gap[1]
    assert "follows the signature" in why_not(small[: end - 3] + b"41>" + small[end:], roots)


def test_added_bytes_are_counted(small, roots):
    assert why_not(small + b"\n%%EOF\n", roots) == "7 bytes were added after sealing."


def test_a_cut_file_says_how_much_is_missing(small, roots):
    assert why_not(small[:-5], roots) == "5 bytes are missing at the end of the file."


def test_an_update_after_sealing_is_refused(small, roots):
    writer = IncrementalPdfFileWriter(BytesIO(small))
    writer.root["/Lang"] = writer.root["/Lang"]
    writer.update_root()
    out = BytesIO()
    writer.write(out)
    assert "added after sealing" in why_not(out.getvalue(), roots)


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"", "empty"),
        (b"hello", "not a PDF"),
        (b"%PDF-1.7\n%%EOF", "no seal"),
        (b"%PDF-1.7 /ByteRange [0 9 99 9]", "missing at the end"),
        (b"%PDF-1.7 /ByteRange [5 9 12 40]", "beginning of the file"),
    ],
)
def test_what_is_no_record_is_named(data, reason, roots):
    assert reason in why_not(data, roots)


def test_an_unsealed_record_is_not_valid(printed, roots):
    assert why_not(printed, roots) == "The file carries no seals; a Record carries one."


def test_another_operators_root_is_not_led_to(small, tmp_path):
    others = trusted_roots(demo_source(tmp_path))
    assert "does not lead to the root" in why_not(small, others)


def test_no_root_no_verdict(small):
    assert "No root certificate" in why_not(small, [])


def test_two_signatures_are_one_too_many(signer, roots):
    once = plainly_signed(small_pdf(), signer, "First")
    assert "carries 2 seals" in why_not(plainly_signed(once, signer, "Second"), roots)


def plainly_signed(pdf: bytes, signer: SimpleSigner, field: str) -> bytes:
    """Signed, but not certified: changes stay allowed."""
    metadata = PdfSignatureMetadata(field_name=field, md_algorithm="sha256", subfilter=SigSeedSubFilter.PADES)
    out = BytesIO()
    PdfSigner(metadata, signer, new_field_spec=SigFieldSpec(field)).sign_pdf(
        IncrementalPdfFileWriter(BytesIO(pdf)), output=out
    )
    return out.getvalue()


def test_a_signature_that_allows_changes_is_no_seal(signer, roots):
    assert "forbid every change" in why_not(plainly_signed(small_pdf(), signer, "First"), roots)


@pytest.mark.parametrize("attached", [0, 2])
def test_a_record_holds_exactly_one_attachment(signer, roots, attached):
    sealed = seal(small_pdf(attached=attached), signer=signer, reason="x")
    assert "record.json as its one attachment" in why_not(sealed, roots)


def test_a_certificate_that_had_ended_does_not_count(tmp_path, monkeypatch):
    long_ago = datetime.now(UTC) - timedelta(days=demo.SEAL_DAYS + 30)
    monkeypatch.setattr(demo, "datetime", type("Then", (), {"now": staticmethod(lambda zone: long_ago)}))
    with sealing_key(demo_source(tmp_path)) as ended:
        sealed = seal(small_pdf(), signer=ended, reason="x")
    roots = read_certificates(tmp_path / "demo-keys" / demo.ROOT)
    assert "does not lead to the root" in why_not(sealed, roots)


def test_a_timestamp_is_said_and_checked(signer, roots):
    stamper = DummyTimeStamper(*timestamping_key())
    stamped = seal(small_pdf(), signer=signer, reason="x", timestamper=stamper)
    verdict = verify(stamped, roots=[*roots, stamper.tsa_cert])
    assert verdict.valid
    assert "by the timestamp in it" in verdict.sentences[0]
    assert "timestamp in the seal is not sound" in why_not(stamped, roots)


def timestamping_key() -> tuple[x509.Certificate, keys.PrivateKeyInfo]:
    """A self-signed RSA key for time-stamping, as pyHanko's stamper for tests wants it."""
    key = rsa.generate_private_key(65537, 2048)
    name = own.Name([own.NameAttribute(own.NameOID.COMMON_NAME, "Larkmoor clock")])
    now = datetime.now(UTC)
    builder = own.CertificateBuilder().subject_name(name).issuer_name(name).public_key(key.public_key())
    builder = (
        builder.serial_number(7).not_valid_before(now - timedelta(hours=1)).not_valid_after(now + timedelta(hours=1))
    )
    builder = builder.add_extension(own.ExtendedKeyUsage([ExtendedKeyUsageOID.TIME_STAMPING]), critical=True)
    certificate = builder.sign(key, SHA256()).public_bytes(Encoding.DER)
    private = key.private_bytes(Encoding.DER, PrivateFormat.PKCS8, NoEncryption())
    return x509.Certificate.load(certificate), keys.PrivateKeyInfo.load(private)
