"""Disputes as the ledger of a rental tells them: for pages that have it at hand already."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from shared.ledger.models import Entry


@dataclass(frozen=True, slots=True)
class Told:
    """`ref` names the line, empty for a chargeback."""

    pk: UUID
    number: int
    ref: str
    answer_by: date
    is_open: bool


def disputes_told(entries: Iterable[Entry]) -> list[Told]:
    """The latest first. No query."""
    rows = [(entry, json.loads(entry.payload)) for entry in entries if entry.kind.startswith("dispute.")]
    decided = {told["dispute"] for entry, told in rows if entry.kind == "dispute.decided"}
    later = {told["dispute"]: told["answer_by"] for entry, told in rows if entry.kind == "dispute.handed_on"}
    opened = [(entry.subject, told) for entry, told in rows if entry.kind == "dispute.opened" and entry.subject]
    return [
        Told(
            pk=pk,
            number=told["number"],
            ref=told["ref"],
            answer_by=date.fromisoformat(later.get(told["number"], told["answer_by"])),
            is_open=told["number"] not in decided,
        )
        for pk, told in reversed(opened)
    ]
