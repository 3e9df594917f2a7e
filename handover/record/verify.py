"""Whether a PDF is a Record as it was sealed, and if not, exactly why not."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from io import BytesIO

from asn1crypto import x509
from django.utils.translation import gettext as _
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.fields import MDPPerm
from pyhanko.sign.validation import validate_pdf_signature
from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature
from pyhanko.sign.validation.settings import KeyUsageConstraints
from pyhanko.sign.validation.status import PdfSignatureStatus, SignatureCoverageLevel
from pyhanko_certvalidator import ValidationContext

from handover.record.attachment import NAME, attached_record
from handover.record.lasting import as_sealed, check_stamp_form, what_lasts
from handover.record.seal_parts import NotASeal, SealParts, has_one_form, seal_parts, stated_digest, tokens_in
from shared.canonical import sha256_hex

EITHER_SIGNING_USE = KeyUsageConstraints(key_usage={"digital_signature", "non_repudiation"}, match_all_key_usages=False)


@dataclass(frozen=True)
class Verdict:
    """`sentences` says what was found in order, the last one why not when `valid` is false.

    `sha256` is the digest of the whole file, `record_json` the attachment (None unless the Record is valid).
    """

    valid: bool
    sentences: tuple[str, ...]
    sha256: str
    signed_by: str | None = None
    signed_at: datetime | None = None
    record_json: bytes | None = None


def verify(pdf: bytes, *, roots: Sequence[x509.Certificate]) -> Verdict:
    """The verdict on a file against the operator's root certificates. Never raises for what is in the file."""
    found: list[str] = []
    try:
        return _verdict(pdf, roots, found)
    except NotASeal as reason:
        found.append(str(reason))
    except Exception as fault:  # whatever a damaged or hostile file does to the readers, it is not a valid Record
        found.append(_("The file cannot be read as a sealed Record: %(fault)s.") % {"fault": _in_words(fault)})
    return Verdict(valid=False, sentences=tuple(found), sha256=sha256_hex(pdf))


def _in_words(fault: Exception) -> str:
    text = " ".join(str(fault).split())[:200]
    return f"{type(fault).__name__}, {text.rstrip('.')}" if text else type(fault).__name__


def _verdict(pdf: bytes, roots: Sequence[x509.Certificate], found: list[str]) -> Verdict:
    if not pdf.startswith(b"%PDF-1."):
        raise NotASeal(_("This is not a PDF file.") if pdf else _("The file is empty."))
    sealed = as_sealed(pdf)
    parts = seal_parts(sealed)
    if stated_digest(parts.cms) != sha256_hex(parts.covered):
        raise NotASeal(_("The content was changed after sealing: its digest is not the one in the seal."))
    reader = PdfFileReader(BytesIO(sealed))
    embedded = _only_seal(reader, parts)
    status = _status(embedded, roots)
    found.extend(_findings(sealed, embedded, status))
    _check_form(parts, status)
    if len(sealed) < len(pdf):
        found.append(what_lasts(pdf, sealed, roots=roots))
    record_json = _record_json(reader)
    found.append(_("%(name)s is inside, SHA-256 %(digest)s.") % {"name": NAME, "digest": sha256_hex(record_json)})
    found.append(_("SHA-256 of the file: %(digest)s.") % {"digest": sha256_hex(pdf)})
    return Verdict(
        valid=True,
        sentences=tuple(found),
        sha256=sha256_hex(pdf),
        signed_by=_signer(embedded),
        signed_at=_signed_at(embedded),
        record_json=record_json,
    )


def _only_seal(reader: PdfFileReader, parts: SealParts) -> EmbeddedPdfSignature:
    if len(reader.embedded_signatures) != 1:
        raise NotASeal(
            _("The file carries %(count)s signatures; a Record carries one.")
            % {"count": len(reader.embedded_signatures)}
        )
    embedded: EmbeddedPdfSignature = reader.embedded_signatures[0]
    gap_start, gap_end = parts.gap
    if list(embedded.byte_range) != [0, gap_start, gap_end, len(parts.covered) - gap_start]:
        raise NotASeal(_("The seal that counts is not the one whose bytes lie in the file."))
    return embedded


def _status(embedded: EmbeddedPdfSignature, roots: Sequence[x509.Certificate]) -> PdfSignatureStatus:
    """What pyHanko finds, with the certificates judged at the time of sealing and nothing fetched from anywhere."""
    if not roots:
        raise NotASeal(_("No root certificate is given to check the seal against."))
    context = ValidationContext(trust_roots=list(roots), allow_fetching=False, moment=_signed_at(embedded))
    return validate_pdf_signature(embedded, signer_validation_context=context, key_usage_settings=EITHER_SIGNING_USE)


def _findings(pdf: bytes, embedded: EmbeddedPdfSignature, status: PdfSignatureStatus) -> Iterator[str]:
    """The sentences of a sound seal, one after the other, until one of them cannot be said (NotASeal)."""
    if not status.intact:
        raise NotASeal(_("The seal was changed: it is not about this content."))
    if not status.valid:
        raise NotASeal(_("The signature in the seal does not belong to this content and this key."))
    yield _("Sealed by %(who)s, %(when)s.") % {"who": _signer(embedded), "when": _when(embedded, status)}
    if status.coverage != SignatureCoverageLevel.ENTIRE_FILE:
        raise NotASeal(_("The seal does not cover the whole file."))
    if embedded.docmdp_level != MDPPerm.NO_CHANGES or not status.docmdp_ok:
        raise NotASeal(_("The seal does not forbid every change, as the seal of a Record does."))
    yield _("The seal covers all %(count)s bytes and forbids any change; nothing was changed.") % {"count": len(pdf)}
    path = _path(status)
    if not status.bottom_line:
        raise NotASeal(_("The seal is not sound: %(summary)s.") % {"summary": status.summary()})
    yield _("Its certificate leads to %(root)s.") % {"root": _common_name(path[0])}


def _path(status: PdfSignatureStatus) -> list[x509.Certificate]:
    """The proved chain of certificates, the root first, the signer last."""
    if not status.trusted or status.validation_path is None:
        raise NotASeal(_("The certificate of the seal does not lead to the root certificate given."))
    return list(status.validation_path.iter_certs(include_root=True))


def _check_form(parts: SealParts, status: PdfSignatureStatus) -> None:
    if not has_one_form(parts.cms, _path(status)):
        raise NotASeal(_("The seal's own bytes were changed: they are not in the form in which a Record is sealed."))
    for token in tokens_in(parts.cms):
        check_stamp_form(token, status.timestamp_validity)


def _record_json(reader: PdfFileReader) -> bytes:
    try:
        return attached_record(reader)
    except KeyError as fault:
        raise NotASeal(
            _("The file does not hold %(name)s as its one attachment (%(fault)s).")
            % {"name": NAME, "fault": fault.args[0]}
        ) from fault


def _signed_at(embedded: EmbeddedPdfSignature) -> datetime:
    if embedded.self_reported_timestamp is None:
        raise NotASeal(_("The seal does not say when it was made."))
    return embedded.self_reported_timestamp


def _when(embedded: EmbeddedPdfSignature, status: PdfSignatureStatus) -> str:
    said = _("%(when)s by its own clock") % {"when": _signed_at(embedded).isoformat(sep=" ")}
    token = status.timestamp_validity
    if token is None:
        return said
    if not (token.valid and token.intact and token.trusted):
        raise NotASeal(_("The timestamp in the seal is not sound, or its certificate leads to no root given."))
    return _("%(said)s, %(timestamp)s by the timestamp in it") % {
        "said": said,
        "timestamp": token.timestamp.isoformat(sep=" "),
    }


def _signer(embedded: EmbeddedPdfSignature) -> str:
    return _common_name(embedded.signer_cert)


def _common_name(certificate: x509.Certificate) -> str:
    names = certificate.subject.native
    return str(names.get("common_name") or certificate.subject.human_friendly)
