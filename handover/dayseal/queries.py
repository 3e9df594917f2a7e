"""What the pages of the day seals show."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.utils import timezone

from shared.canonical import sha256_hex
from shared.ledger.day_document import document_digest, read_document
from shared.ledger.days import days_to_seal, unsealed
from shared.ledger.models import DaySeal

A_PAGE = 60


@dataclass(frozen=True, slots=True)
class SealRow:
    """One sealed day in the list."""

    number: int
    day: date
    entries: int
    leaves: int
    stamped: bool


@dataclass(frozen=True, slots=True)
class SealsPage:
    """`older` is the number to go on below, None on the last page; `waiting` are closed days without a seal."""

    rows: Sequence[SealRow]
    older: int | None
    waiting: Sequence[date]
    unsealed: int


@dataclass(frozen=True, slots=True)
class SealPage:
    """One seal: what its document says, and the digests by which it is known."""

    number: int
    day: date
    said: dict[str, Any]
    root_groups: Sequence[str]
    sealed_at: datetime
    document_sha256: str
    signature_sha256: str
    stamp_sha256: str
    code: str


def seals_page(*, below: int | None = None) -> SealsPage:
    seals = DaySeal.objects.order_by("-number")
    if below:
        seals = seals.filter(number__lt=below)
    rows = [_row(seal) for seal in seals[: A_PAGE + 1]]
    shown = rows[:A_PAGE]
    older = shown[-1].number if len(rows) > A_PAGE else None
    return SealsPage(shown, older, days_to_seal(timezone.now()), unsealed())


def _row(seal: DaySeal) -> SealRow:
    said = read_document(seal.document)
    return SealRow(seal.number, seal.day, said["entries"], said["leaves"], bool(seal.stamp))


def seal_page(seal: DaySeal) -> SealPage:
    said = read_document(seal.document)
    return SealPage(
        number=seal.number,
        day=seal.day,
        said=said,
        root_groups=[said["root"][at : at + 8] for at in range(0, 64, 8)],
        sealed_at=datetime.fromisoformat(said["sealed_at"]),
        document_sha256=document_digest(seal.document),
        signature_sha256=sha256_hex(bytes(seal.signature)),
        stamp_sha256=sha256_hex(bytes(seal.stamp)) if seal.stamp else "",
        code=f"{said['form']} {said['number']} {said['day']} {said['root']}",
    )
