"""Sealing the days that are over: signed and stamped first, then kept with an entry in the ledger that names it."""

from collections.abc import Iterator
from datetime import date, datetime
from uuid import uuid5

from django.conf import settings
from django.db import transaction
from pyhanko.sign.signers import Signer
from pyhanko.sign.timestamps import TimeStamper

from handover.dayseal.signing import sign, stamp
from handover.record.keys import sealing_key
from handover.record.seal import timestamper_at
from shared.canonical import sha256_hex
from shared.ledger.day_document import document_digest, document_of, read_document
from shared.ledger.days import SEALS_CHAIN, day_of, days_to_seal
from shared.ledger.models import DaySeal
from shared.ledger.writing import append, seen

KIND = "day.sealed"


def seal_days(*, now: datetime, only: date | None = None, timestamper: TimeStamper | None = None) -> Iterator[DaySeal]:
    """Seal every closed day that is not sealed yet, the first one first; up to and with `only` when it is given.

    Each seal is kept before the next one is begun. Asked again, nothing is done twice. Raises what the key or the
    authority raises; a day is then left for the next time.
    """
    days = [day for day in days_to_seal(now) if only is None or day <= only]
    if not days:
        return
    stamper = timestamper or (timestamper_at(settings.RECORD_TSA_URL) if settings.RECORD_TSA_URL else None)
    with sealing_key() as signer:
        for day in days:
            if kept := _keep(_sealed(day, signer=signer, timestamper=stamper, at=now)):
                yield kept


def _sealed(day: date, *, signer: Signer, timestamper: TimeStamper | None, at: datetime) -> DaySeal:
    earlier = list(DaySeal.objects.order_by("number").values_list("document", flat=True))
    document = document_of(day_of(day), earlier=earlier, sealed_at=at)
    signature = sign(document, signer=signer, at=at)
    answer = stamp(signature, timestamper=timestamper) if timestamper else b""
    return DaySeal(number=len(earlier) + 1, day=day, document=document, signature=signature, stamp=answer)


@transaction.atomic
def _keep(seal: DaySeal) -> DaySeal | None:
    """None when the day was sealed meanwhile by another run."""
    key = uuid5(SEALS_CHAIN, seal.day.isoformat())
    if seen(key, chain=SEALS_CHAIN, kind=KIND):
        return None
    seal.save(force_insert=True)
    append(
        chain=SEALS_CHAIN,
        kind=KIND,
        payload={
            "number": seal.number,
            "day": seal.day.isoformat(),
            "document_sha256": document_digest(seal.document),
            "signature_sha256": sha256_hex(bytes(seal.signature)),
            "stamp_sha256": sha256_hex(bytes(seal.stamp)) if seal.stamp else None,
        },
        by=None,
        key=key,
        happened_at=_when(seal),
    )
    return seal


def _when(seal: DaySeal) -> datetime:
    return datetime.fromisoformat(read_document(seal.document)["sealed_at"])
