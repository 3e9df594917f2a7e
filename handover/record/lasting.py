"""What makes a seal last (PAdES B-LTA): after it the certificates that prove it, and a time stamp over all of that.

The file as it was sealed stands at the beginning, byte for byte; it is checked as if nothing followed. What follows
may be nothing but certificates and the stamp, and the stamp covers every byte of both.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from io import BytesIO

from asn1crypto import cms, tsp, x509
from django.utils.translation import gettext as _
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.diff_analysis import DiffResult, ModificationLevel
from pyhanko.sign.validation import validate_pdf_timestamp
from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature
from pyhanko.sign.validation.status import SignatureCoverageLevel, TimestampSignatureStatus
from pyhanko_certvalidator import ValidationContext

from handover.record.seal_parts import BYTE_RANGE, NotASeal, algorithms_agree, signature_in
from shared.canonical import sha256_hex

STAMP = b"/ETSI.RFC3161"


@dataclass(frozen=True)
class Stamp:
    """`covered` is what was stamped; `token` the DER of the time stamp; `at` the time it states."""

    covered: bytes
    token: bytes
    at: datetime


def as_sealed(pdf: bytes) -> bytes:
    """The file up to where its seal ends; all of it where no time stamp follows."""
    ranges = BYTE_RANGE.findall(pdf)
    if len(ranges) != 2:
        return pdf
    _start, _gap_start, gap_end, tail = (int(number) for number in ranges[0])
    sealed, behind = pdf[: gap_end + tail], pdf[gap_end + tail :]
    return sealed if len(BYTE_RANGE.findall(sealed)) == 1 and STAMP in behind else pdf


def stamp_of(pdf: bytes, sealed: bytes) -> Stamp:
    """The time stamp behind the seal, over the whole file and in its one form. Raises NotASeal."""
    start, gap_start, gap_end, tail = (int(number) for number in BYTE_RANGE.findall(pdf)[1])
    if start or not len(sealed) < gap_start < gap_end or gap_end + tail != len(pdf):
        raise NotASeal(_("The time stamp behind the seal does not cover the whole file."))
    covered, token = pdf[:gap_start] + pdf[gap_end:], signature_in(pdf[gap_start:gap_end])
    info = _info(token)
    imprint = info["message_imprint"]
    if imprint["hash_algorithm"]["algorithm"].native != "sha256":
        raise NotASeal(_("The time stamp behind the seal is not over SHA-256."))
    if bytes(imprint["hashed_message"].native).hex() != sha256_hex(covered):
        raise NotASeal(_("Something behind the seal was changed: its digest is not the one in the time stamp."))
    return Stamp(covered, token, info["gen_time"].native)


def _info(token: bytes) -> tsp.TSTInfo:
    try:
        content = cms.ContentInfo.load(token)["content"]["encap_content_info"]
        info: tsp.TSTInfo = content["content"].parsed
        _known = info["message_imprint"]["hash_algorithm"]["algorithm"].native, info["gen_time"].native
    except (ValueError, TypeError, KeyError, AttributeError) as fault:
        raise NotASeal(_("The time stamp behind the seal was changed: it is no longer one.")) from fault
    return info


def what_lasts(pdf: bytes, sealed: bytes, *, roots: Sequence[x509.Certificate]) -> str:
    """A sentence about who stamped it, and when. Raises NotASeal; `sealed` was checked before."""
    stamp = stamp_of(pdf, sealed)
    seal, stamped = _both(PdfFileReader(BytesIO(pdf)))
    context = ValidationContext(trust_roots=list(roots), allow_fetching=False, moment=stamp.at)
    status = validate_pdf_timestamp(stamped, validation_context=context)
    if not (status.intact and status.valid and status.trusted):
        raise NotASeal(_("The time stamp behind the seal is not sound, or its certificate leads to no root given."))
    if status.coverage != SignatureCoverageLevel.ENTIRE_FILE:
        raise NotASeal(_("The time stamp behind the seal does not cover the whole file."))
    _check_nothing_else(seal)
    check_stamp_form(stamp.token, status)
    return _("Its proof is kept in the file, all %(count)s bytes of it stamped by %(who)s, %(when)s.") % {
        "count": len(pdf),
        "who": str(status.signing_cert.subject.native.get("common_name", "")),
        "when": status.timestamp.isoformat(sep=" "),
    }


def _both(reader: PdfFileReader) -> tuple[EmbeddedPdfSignature, EmbeddedPdfSignature]:
    found = reader.embedded_signatures
    if [str(row.sig_object["/Type"]) for row in found] != ["/Sig", "/DocTimeStamp"]:
        raise NotASeal(_("Behind the seal stands something other than one time stamp."))
    return found[0], found[1]


def _check_nothing_else(seal: EmbeddedPdfSignature) -> None:
    """What was added is what makes it last, and nothing that is printed or read."""
    seal.compute_integrity_info()  # type: ignore[no-untyped-call]
    found = seal.diff_result
    if not isinstance(found, DiffResult) or found.modification_level != ModificationLevel.LTA_UPDATES:
        raise NotASeal(_("Something other than its proof was added behind the seal."))


def check_stamp_form(token: bytes, status: TimestampSignatureStatus | None) -> None:
    """What inside a stamp is neither signed nor proved otherwise has one form: then no byte is free to change.

    `status` is what was proved of it. Raises NotASeal.
    """
    if status is None or status.validation_path is None:
        raise NotASeal(_("A time stamp in the file is not sound, or its certificate leads to no root given."))
    path = list(status.validation_path.iter_certs(include_root=True))
    signed = cms.ContentInfo.load(token)["content"]
    inside = [row.chosen for row in signed["certificates"]]
    known = {certificate.dump() for certificate in path}
    rebuilt = {
        "version": "v3",
        "digest_algorithms": [signed["signer_infos"][0]["digest_algorithm"]],
        "encap_content_info": signed["encap_content_info"],
        "certificates": inside,
        "signer_infos": [_rebuilt(signed["signer_infos"][0], path[-1])],
    }
    whole = cms.ContentInfo({"content_type": "signed_data", "content": cms.SignedData(rebuilt)}).dump()
    if {row.dump() for row in inside} - known or not all(map(algorithms_agree, path)) or whole != token:
        raise NotASeal(_("The time stamp's own bytes were changed: they are not in the form in which one is made."))


def _rebuilt(info: cms.SignerInfo, signer: x509.Certificate) -> cms.SignerInfo:
    named = {"issuer": signer.issuer, "serial_number": signer.serial_number}
    return cms.SignerInfo({
        "version": "v1",
        "sid": cms.SignerIdentifier({"issuer_and_serial_number": cms.IssuerAndSerialNumber(named)}),
        "digest_algorithm": info["digest_algorithm"],
        "signed_attrs": info["signed_attrs"],
        "signature_algorithm": info["signature_algorithm"],
        "signature": info["signature"].native,
    })  # fmt: skip
