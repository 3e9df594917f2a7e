"""What the public check page tells of a Record: its seal, its place in the Ledger, what came after. Of nobody."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from handover.checkpage.gate import check_sealed
from handover.dayseal.checking import verify_signatures
from handover.record.keys import trusted_roots
from handover.record.models import Record
from handover.record.queries import Checked, checked, ledger_entry
from handover.record.seal_parts import NotASeal
from handover.record.verify import verify
from shared.canonical import sha256_hex
from shared.ledger.days import verify_day
from shared.ledger.models import DaySeal, Entry
from shared.ledger.verifying import verify_chain


@dataclass(frozen=True, slots=True)
class DayUnderSeal:
    seal: DaySeal
    holds: bool


@dataclass(frozen=True, slots=True)
class LedgerPlace:
    """Where the Ledger tells of a Record; `seal` is None while the day is not sealed.

    `is_whole`: each entry of its chain follows from the one before it, and the rows it states are as stated.
    """

    sequence: int
    recorded_at: datetime
    digest: str
    is_whole: bool
    seal: DayUnderSeal | None


@dataclass(frozen=True, slots=True)
class Told:
    """What is found of a file or of a number with its code. `record` is None for a file that is not kept here."""

    verdict: Checked
    sha256: str
    record: Record | None = None
    place: LedgerPlace | None = None
    later: Sequence[Record] = ()


def record_of(number: str, code: str) -> Record | None:
    """One query, whichever of the two is wrong."""
    rows = Record.objects.select_related("rental__branch")
    return rows.filter(rental__number=number.strip().upper(), code=code.strip().upper()).first()


def told_of(record: Record) -> Told:
    return Told(checked(record), record.pdf_sha256, record, _place(record), later_than(record))


def told_of_file(pdf: bytes) -> Told:
    """Never raises for what is in the file: whatever it is, the answer is a sentence."""
    roots, sha256 = trusted_roots(), sha256_hex(pdf)
    try:
        check_sealed(pdf, roots=roots)
    except NotASeal as reason:
        return Told(Checked(valid=False, sentences=(str(reason),)), sha256)
    verdict = verify(pdf, roots=roots)
    found = Checked(verdict.valid, verdict.sentences)
    record = Record.objects.select_related("rental__branch").filter(pdf_sha256=sha256).first()
    if not verdict.valid or record is None:
        return Told(found, sha256)
    return Told(found, sha256, record, _place(record), later_than(record))


def later_than(record: Record) -> list[Record]:
    """Later versions of the same Record, the latest first."""
    later = Record.objects.filter(rental=record.rental_id, kind=record.kind, version__gt=record.version)
    return list(later.exclude(pdf_sha256="").order_by("-version"))


def _place(record: Record) -> LedgerPlace | None:
    """Only where the Ledger states the digest of this very file."""
    entry = ledger_entry(record)
    if entry is None or record.pdf_sha256 not in entry.payload:
        return None
    is_whole = next(verify_chain(entry.chain), None) is None
    return LedgerPlace(entry.sequence, entry.recorded_at, entry.digest, is_whole, _day_seal(entry))


def _day_seal(entry: Entry) -> DayUnderSeal | None:
    """The seal of the day (UTC) on which the entry was recorded, and whether it holds. Its day was closed by then."""
    seal = DaySeal.objects.filter(day=entry.recorded_at.astimezone(UTC).date()).first()
    if seal is None:
        return None
    holds = next(verify_day(seal), None) is None and next(verify_signatures(iter([seal])), None) is None
    return DayUnderSeal(seal, holds)
