"""Before a stranger's PDF is opened: is it under a seal of ours at all? Looks at bytes and the seal alone.

A reader of PDF unpacks what a file tells it to unpack. Only what was signed under one of the operator's root
certificates comes that far; everything else is refused by its bytes.
"""

import hashlib
from collections.abc import Iterable, Sequence

from asn1crypto import cms, x509
from cryptography import x509 as certificates
from cryptography.exceptions import InvalidSignature, UnsupportedAlgorithm
from django.utils.translation import gettext as _
from pyhanko.sign.validation.generic_cms import validate_sig_integrity

from handover.record.lasting import as_sealed, stamp_of
from handover.record.seal_parts import NotASeal, seal_parts, stated_digest
from shared.canonical import sha256_hex

LONGEST_CHAIN = 4
LARGEST_SEAL = 64 * 1024


def check_sealed(pdf: bytes, *, roots: Sequence[x509.Certificate]) -> None:
    """Raises NotASeal with the sentence why this is no file that was sealed under one of the roots."""
    if not pdf:
        raise NotASeal(_("The file is empty."))
    if not pdf.startswith(b"%PDF-1."):
        raise NotASeal(_("This is not a PDF file."))
    sealed = as_sealed(pdf)
    parts = seal_parts(sealed)
    if len(parts.cms) > LARGEST_SEAL:
        raise NotASeal(_("The seal's own bytes were changed: they are no longer a signature."))
    if stated_digest(parts.cms) != sha256_hex(parts.covered):
        raise NotASeal(_("The content was changed after sealing: its digest is not the one in the seal."))
    _check_ours(parts.cms, parts.covered, roots)
    if len(sealed) < len(pdf):
        stamp = stamp_of(pdf, sealed)
        _check_ours(stamp.token, None, roots)


def _check_ours(signature: bytes, covered: bytes | None, roots: Sequence[x509.Certificate]) -> None:
    """`covered` is None for a time stamp, which signs what it holds."""
    try:
        is_ours, is_whole = _is_ours(signature, covered, roots)
    except Exception as fault:  # whatever a stranger's bytes do to the readers, they are no signature of ours
        raise NotASeal(_("The seal's own bytes were changed: they are no longer a signature.")) from fault
    if not is_ours:
        raise NotASeal(_("The certificate of the seal does not lead to the root certificate given."))
    if not is_whole:
        raise NotASeal(_("The signature in the seal does not belong to this content and this key."))


def _is_ours(signature: bytes, covered: bytes | None, roots: Sequence[x509.Certificate]) -> tuple[bool, bool]:
    """Whether its certificate leads to a root, and whether the signature is of that certificate's key."""
    signed = cms.ContentInfo.load(signature)["content"]
    inside = [choice.chosen for choice in signed["certificates"] if isinstance(choice.chosen, x509.Certificate)]
    (info,) = signed["signer_infos"]
    signer = _signer(info, inside)
    if signer is None or not _leads_to(signer, inside, roots):
        return False, False
    held = bytes(signed["encap_content_info"]["content"]) if covered is None else covered
    digest = hashlib.new(info["digest_algorithm"]["algorithm"].native, held).digest()
    intact, valid = validate_sig_integrity(
        info, signer, expected_content_type="tst_info" if covered is None else "data", actual_digest=digest
    )
    return True, intact and valid


def _signer(info: cms.SignerInfo, inside: Iterable[x509.Certificate]) -> x509.Certificate | None:
    named = info["sid"].chosen
    return next(
        (row for row in inside if row.issuer == named["issuer"] and row.serial_number == named["serial_number"].native),
        None,
    )


def _leads_to(signer: x509.Certificate, inside: Sequence[x509.Certificate], roots: Sequence[x509.Certificate]) -> bool:
    """By signatures alone; what a certificate may be used for, and when, the full check says."""
    at: x509.Certificate | None = signer
    for _step in range(LONGEST_CHAIN):
        if at is None:
            return False
        if any(_issued(at, root) for root in roots):
            return True
        at = next((row for row in inside if row is not at and _issued(at, row)), None)
    return False


def _issued(certificate: x509.Certificate, issuer: x509.Certificate) -> bool:
    try:
        certificates.load_der_x509_certificate(certificate.dump()).verify_directly_issued_by(
            certificates.load_der_x509_certificate(issuer.dump())
        )
    except (ValueError, TypeError, InvalidSignature, UnsupportedAlgorithm, certificates.InvalidVersion):
        return False
    return True
