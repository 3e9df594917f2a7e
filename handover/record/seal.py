"""The seal of a Record: a PAdES signature that certifies the file and allows no change after it."""

from collections.abc import Sequence
from functools import cache
from io import BytesIO
from typing import Any

from asn1crypto import x509
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign.fields import MDPPerm, SigFieldSpec, SigSeedSubFilter
from pyhanko.sign.signers import PdfSignatureMetadata, PdfSigner, Signer
from pyhanko.sign.signers.pdf_signer import DSSContentSettings, TimestampDSSContentSettings
from pyhanko.sign.timestamps import HTTPTimeStamper, TimeStamper
from pyhanko_certvalidator import ValidationContext

FIELD = "Seal"
# More than the largest seal with a timestamp; asking pyHanko to estimate instead doubles the time a seal takes.
BYTES_RESERVED = 16384


# What proves the stamp goes in before it: nothing may stand behind the last stamp.
STAMP_LAST = TimestampDSSContentSettings(include_vri=False, update_before_ts=True)
PROOF_BEFORE_STAMP = DSSContentSettings(next_ts_settings=STAMP_LAST)


class _Pdf17Writer(IncrementalPdfFileWriter):
    """PAdES makes pyHanko raise the file to PDF 2.0, but PDF/A-3 is built on PDF 1.7."""

    def ensure_output_version(self, version: tuple[int, int]) -> Any:
        return super().ensure_output_version(min(version, (1, 7)))  # type: ignore[no-untyped-call]


@cache
def timestamper_at(url: str) -> TimeStamper:
    """An RFC 3161 time-stamping service by its address."""
    return HTTPTimeStamper(url)


def seal(
    pdf: bytes, *, signer: Signer, reason: str, place: str = "", timestamper: TimeStamper | None = None,
    lasting: Sequence[x509.Certificate] = (),
) -> bytes:  # fmt: skip
    """The same PDF with its seal appended: PAdES B-B, or B-T with a timestamper; SHA-256, no visible mark.

    With `lasting`, the root certificates, and a timestamper it is B-LTA: the certificates that prove the seal follow
    it, and a time stamp over all of that. Raises pyHanko's SigningError or PdfError when the key or the PDF cannot be
    used.
    """
    lasts = bool(lasting and timestamper)
    context = ValidationContext(trust_roots=list(lasting), allow_fetching=False) if lasts else None
    metadata = PdfSignatureMetadata(
        field_name=FIELD,
        md_algorithm="sha256",
        subfilter=SigSeedSubFilter.PADES,
        certify=True,
        docmdp_permissions=MDPPerm.NO_CHANGES,
        reason=reason,
        location=place or None,
        embed_validation_info=lasts,
        use_pades_lta=lasts,
        validation_context=context,
        dss_settings=PROOF_BEFORE_STAMP,
    )
    sealed = BytesIO()
    PdfSigner(metadata, signer, timestamper=timestamper, new_field_spec=SigFieldSpec(FIELD)).sign_pdf(
        _Pdf17Writer(BytesIO(pdf)), bytes_reserved=BYTES_RESERVED, output=sealed
    )
    return sealed.getvalue()
