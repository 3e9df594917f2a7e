"""The Records that a customer can take with them, and whether each is as it was kept."""

from dataclasses import dataclass

from handover.record.models import Record
from handover.rental.models import Rental
from shared.files.store import Altered, read


@dataclass(frozen=True, slots=True)
class RecordRow:
    """`state` is ready, waiting, failed or altered; `photos` is how many stand in it, where that is known."""

    record: Record
    state: str

    @property
    def is_ready(self) -> bool:
        return self.state == Record.State.READY

    @property
    def digest_start(self) -> str:
        """As much as a person compares by eye."""
        return " ".join(self.record.pdf_sha256[at : at + 4] for at in range(0, 16, 4))


def records_of(rental: Rental) -> list[RecordRow]:
    """The latest first. Each file is read: what is offered here is what its digest says."""
    return [RecordRow(row, state_of(row)) for row in rental.records.order_by("-made_at", "-id")]


def state_of(row: Record) -> str:
    """As the file is now, and not as it was when it was made."""
    if row.state != Record.State.READY:
        return row.state
    try:
        read(row.file)
    except (Altered, FileNotFoundError):
        return "altered"
    return row.state
