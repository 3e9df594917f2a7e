"""The signature and the time stamp of a day seal, as any tool for CMS and RFC 3161 understands them."""

import asyncio
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256

from asn1crypto import cms, tsp, x509
from pyhanko.sign.signers import Signer
from pyhanko.sign.signers.pdf_cms import PdfCMSSignedAttributes
from pyhanko.sign.timestamps import TimeStamper
from pyhanko.sign.validation import async_validate_detached_cms
from pyhanko.sign.validation.generic_cms import validate_tst_signed_data
from pyhanko.sign.validation.status import TimestampSignatureStatus
from pyhanko_certvalidator import ValidationContext

from handover.record.seal_parts import NotASeal, has_one_form
from handover.record.verify import EITHER_SIGNING_USE


@dataclass(frozen=True, slots=True)
class Found:
    """What a check found: `problems` are sentences, none when it holds; `who` and `when` as far as they are known."""

    problems: tuple[str, ...]
    who: str = ""
    when: datetime | None = None


def sign(document: str, *, signer: Signer, at: datetime) -> bytes:
    """A detached CMS signature (CAdES, DER) over the document. Raises pyHanko's SigningError."""
    made = asyncio.run(
        signer.async_sign_general_data(
            document.encode(),
            "sha256",
            detached=True,
            use_cades=True,
            signed_attr_settings=PdfCMSSignedAttributes(signing_time=at),
        )
    )
    return bytes(made.dump())


def stamp(signature: bytes, *, timestamper: TimeStamper) -> bytes:
    """The authority's answer over the signature, a TimeStampResp in DER. Raises pyHanko's TimestampRequestError."""
    token = asyncio.run(timestamper.async_timestamp(sha256(signature).digest(), "sha256"))
    answer = tsp.TimeStampResp({"status": {"status": "granted"}, "time_stamp_token": token})
    return bytes(answer.dump())


def check_signature(
    document: str, signature: bytes, *, at: datetime, roots: Sequence[x509.Certificate]
) -> Found:  # fmt: skip
    """Whether the signature is over this document, by a key that leads to one of the roots. `at`: when it was made."""
    try:
        signed = cms.ContentInfo.load(signature, strict=True)["content"]
        context = ValidationContext(trust_roots=list(roots), allow_fetching=False, moment=at)
        status = asyncio.run(
            async_validate_detached_cms(
                document.encode(), signed, signer_validation_context=context, key_usage_settings=EITHER_SIGNING_USE
            )
        )
        who = _common_name(status.signing_cert)
        return Found(tuple(_signature_problems(status, signature)), who, at)
    except Exception as fault:  # whatever forced bytes do to the reader, they are no signature
        return Found((f"its signature cannot be read: {type(fault).__name__}",))


def check_stamp(answer: bytes, signature: bytes, *, roots: Sequence[x509.Certificate]) -> Found:
    """Whether the answer is an authority's, leads to one of the roots, and is over this signature."""
    try:
        response = tsp.TimeStampResp.load(answer, strict=True)
        signed = response["time_stamp_token"]["content"]
        made_at: datetime = signed["encap_content_info"]["content"].parsed["gen_time"].native
        context = ValidationContext(trust_roots=list(roots), allow_fetching=False, moment=made_at)
        found = asyncio.run(
            validate_tst_signed_data(signed, context, lambda algorithm: _hash(algorithm, signature))
        )  # fmt: skip
        status = TimestampSignatureStatus(**found)
        who = _common_name(status.signing_cert)
    except Exception as fault:  # as above
        return Found((f"its time stamp cannot be read: {type(fault).__name__}",))
    if not (status.intact and status.valid and status.trusted):
        return Found(("its time stamp is not sound, or leads to none of the roots",), who, made_at)
    return Found((), who, made_at)


def _signature_problems(status: object, signature: bytes) -> Iterator[str]:
    if not getattr(status, "intact", False):
        yield "its signature is over another document"
    elif not getattr(status, "valid", False):
        yield "its signature does not belong to this key"
    elif not getattr(status, "trusted", False):
        yield "the certificate of its signature leads to none of the operator's roots"
    elif not _has_one_form(signature, list(status.validation_path.iter_certs(include_root=True))):  # type: ignore[attr-defined]
        yield "the bytes of its signature were changed"


def _has_one_form(signature: bytes, path: list[x509.Certificate]) -> bool:
    try:
        return has_one_form(signature, path)
    except NotASeal:
        return False


def _hash(algorithm: str, data: bytes) -> bytes:
    if algorithm != "sha256":
        raise ValueError(f"{algorithm} was not asked for")
    return sha256(data).digest()


def _common_name(certificate: x509.Certificate) -> str:
    names = certificate.subject.native
    return str(names.get("common_name") or certificate.subject.human_friendly)
