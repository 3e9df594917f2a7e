"""The bytes of a seal: which part of the file it covers, and the CMS signature that lies in the gap.

Everything in a sealed file is covered by the signature's digest but the gap itself, so the gap must have one
form only: `<`, the DER of the signature as upper-case hex digits, zeros, `>`. What inside the signature is
neither signed nor proved otherwise must have one form too (`has_one_form`). Then no byte is free to change.
"""

import re
from dataclasses import dataclass

from asn1crypto import algos, cms, parser, x509
from django.utils.translation import gettext as _

BYTE_RANGE = re.compile(rb"/ByteRange \[(\d{1,12}) (\d{1,12}) (\d{1,12}) (\d{1,12})\]")
SIGNING_ALGORITHMS = ("sha256_ecdsa", "sha256_rsa")


class NotASeal(ValueError):
    """Why the bytes are not those of one whole, untouched seal: a sentence."""


@dataclass(frozen=True)
class SealParts:
    """`covered` is what was signed; `cms` the DER of the signature; `gap` the place of `<...>`, end exclusive."""

    covered: bytes
    cms: bytes
    gap: tuple[int, int]


def seal_parts(pdf: bytes) -> SealParts:
    """The signed bytes and the signature of a file with one seal over all of it. Raises NotASeal."""
    ranges = BYTE_RANGE.findall(pdf)
    if len(ranges) != 1:
        none = _("The file carries no seals; a Record carries one.")
        many = _("The file carries %(count)s seals; a Record carries one.")
        raise NotASeal(many % {"count": len(ranges)} if ranges else none)
    start, gap_start, gap_end, tail = (int(number) for number in ranges[0])
    _check_cover(start, gap_start, gap_end, tail, len(pdf))
    gap = pdf[gap_start:gap_end]
    return SealParts(pdf[:gap_start] + pdf[gap_end:], signature_in(gap), (gap_start, gap_end))


def _check_cover(start: int, gap_start: int, gap_end: int, tail: int, size: int) -> None:
    if start != 0 or gap_start >= gap_end:
        raise NotASeal(_("The seal does not cover the beginning of the file."))
    if gap_end + tail < size:
        raise NotASeal(_("%(count)s bytes were added after sealing.") % {"count": size - gap_end - tail})
    if gap_end + tail > size:
        raise NotASeal(_("%(count)s bytes are missing at the end of the file.") % {"count": gap_end + tail - size})


def signature_in(gap: bytes) -> bytes:
    """The DER of the signature in `<...>`, the brackets included. Raises NotASeal for more than one form of it."""
    digits = gap[1:-1]
    if gap[:1] != b"<" or gap[-1:] != b">" or not re.fullmatch(rb"(?:[0-9A-F]{2})+", digits):
        raise NotASeal(_("The seal's own bytes were changed: they are not plain hex digits between < and >."))
    content = bytes.fromhex(digits.decode())
    signature = _first_value(content)
    if content[len(signature) :].strip(b"\0"):
        raise NotASeal(_("The seal's own bytes were changed: something follows the signature."))
    return signature


def _first_value(content: bytes) -> bytes:
    try:
        *_head, header, body, trailer = parser.parse(content)
    except ValueError as fault:
        raise NotASeal(_("The seal's own bytes were changed: they are no longer a signature.")) from fault
    return bytes(header + body + trailer)


def stated_digest(signature: bytes) -> str:
    """The SHA-256, in hex, that the signature states for the content. Raises NotASeal."""
    try:
        attributes = cms.ContentInfo.load(signature)["content"]["signer_infos"][0]["signed_attrs"]
        (digest,) = [entry["values"][0].native for entry in attributes if entry["type"].native == "message_digest"]
        return bytes(digest).hex()
    except (ValueError, TypeError, KeyError, IndexError, AttributeError) as fault:
        raise NotASeal(_("The seal's own bytes were changed: they are no longer a signature.")) from fault


def tokens_in(signature: bytes) -> list[bytes]:
    """The DER of the time stamps over the signature itself: one, or none. Raises NotASeal for anything else there."""
    attributes = list(cms.ContentInfo.load(signature)["content"]["signer_infos"][0]["unsigned_attrs"])
    tokens = [value.dump() for row in attributes for value in row["values"]]
    if len(tokens) > 1 or any(row["type"].native != "signature_time_stamp_token" for row in attributes):
        raise NotASeal(_("The seal carries something beside one time stamp."))
    return tokens


def has_one_form(signature: bytes, path: list[x509.Certificate]) -> bool:
    """Whether the signature is exactly what its proved parts make it.

    `path` is the proved chain of certificates, the signer's last. The signed attributes and the signature
    value stand as they are, since any change there breaks the signature; the rest is built anew and compared.
    A timestamp token stands as it is too: it is a signature of its own, and looked at by itself (`tokens_in`).
    """
    signed = cms.ContentInfo.load(signature)["content"]
    certificates = [choice.chosen for choice in signed["certificates"]]
    known = {certificate.dump() for certificate in path}
    if {certificate.dump() for certificate in certificates} - known or not all(map(algorithms_agree, path)):
        return False
    return bool(_rebuilt(signed, certificates, path[-1]) == signature)


def algorithms_agree(certificate: x509.Certificate) -> bool:
    """The outer name of its algorithm is not signed; it must be the inner one's."""
    stated, signed = certificate["signature_algorithm"], certificate["tbs_certificate"]["signature"]
    return bool(stated.dump() == signed.dump())


def _rebuilt(signed: cms.SignedData, certificates: list[x509.Certificate], signer: x509.Certificate) -> bytes:
    sha256 = algos.DigestAlgorithm({"algorithm": "sha256"})
    content = {
        "version": "v1",
        "digest_algorithms": [sha256],
        "encap_content_info": {"content_type": "data"},
        "certificates": certificates,
        "signer_infos": [_rebuilt_signer(signed["signer_infos"][0], signer, sha256)],
    }
    return bytes(cms.ContentInfo({"content_type": "signed_data", "content": cms.SignedData(content)}).dump())


def _rebuilt_signer(info: cms.SignerInfo, signer: x509.Certificate, sha256: algos.DigestAlgorithm) -> cms.SignerInfo:
    algorithm = info["signature_algorithm"]["algorithm"].native
    if algorithm not in SIGNING_ALGORITHMS:
        raise NotASeal(
            _("The seal is signed with %(algorithm)s; known are %(known)s.")
            % {"algorithm": algorithm, "known": " and ".join(SIGNING_ALGORITHMS)}
        )
    parts = {
        "version": "v1",
        "sid": cms.SignerIdentifier(
            {"issuer_and_serial_number": {"issuer": signer.issuer, "serial_number": signer.serial_number}}
        ),
        "digest_algorithm": sha256,
        "signed_attrs": info["signed_attrs"],
        "signature_algorithm": {"algorithm": algorithm},
        "signature": info["signature"].native,
    }
    if timestamps := list(info["unsigned_attrs"]):
        parts["unsigned_attrs"] = timestamps
    return cms.SignerInfo(parts)
