"""What the pages of a record show, and what is found when it is checked."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from handover.record.keys import trusted_roots
from handover.record.models import Record
from handover.record.verify import verify
from handover.retention.gone import file_gone
from shared.files.store import Altered, read
from shared.ledger.models import Entry
from shared.phrasebook import said


@dataclass(frozen=True, slots=True)
class Checked:
    """`sentences` in order, the last one why not when it is not valid. `erased`: by schedule, or on request."""

    valid: bool
    sentences: Sequence[str]
    erased: bool = False


def records_in_full() -> QuerySet[Record]:
    return Record.objects.select_related("rental__branch", "rental__customer", "statement")


def ledger_entry(record: Record) -> Entry | None:
    """Where the ledger of its rental tells that it was made."""
    return Entry.objects.filter(chain=record.rental_id, subject=record.pk, kind="record.made").last()


def previous_of(record: Record) -> Record | None:
    """The record whose digest this one states."""
    if not record.previous_sha256:
        return None
    return Record.objects.filter(rental=record.rental_id, pdf_sha256=record.previous_sha256).first()


def checked(record: Record) -> Checked:
    """The seal as anyone can check it, and that the file is the one under this number."""
    if record.state != Record.State.READY:
        return _not_valid(_("There is no file to check yet."))
    try:
        pdf = read(record.file)
    except Altered as problem:
        return _not_valid(said(str(problem)))
    except FileNotFoundError:
        if erased := file_gone(record.file):
            return Checked(valid=False, sentences=(erased,), erased=True)
        return _not_valid(_("The file is gone from the store. A backup has it; its digest is in the Ledger."))
    verdict = verify(pdf, roots=trusted_roots())
    if verdict.valid and verdict.sha256 != record.pdf_sha256:
        return _not_valid(*verdict.sentences, _("It is another file than the one kept under this number."))
    return Checked(verdict.valid, verdict.sentences)


def _not_valid(*sentences: str) -> Checked:
    return Checked(valid=False, sentences=sentences)
