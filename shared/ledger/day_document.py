"""What a day seal says: the document that is signed. Pure: no Django, no clock, no database.

A day is one of UTC, so that it is the same for branches in any zone. The leaves of its tree are the heads, as the
day ended, of all chains that were written to on it, in the order of the chains' ids; a leaf is the text
"<chain> <sequence> <digest>". The leaves of the history tree are the digests of all documents before this one.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from json import loads
from typing import Any, NamedTuple
from uuid import UUID

from shared.canonical import canonical_text, sha256_hex
from shared.ledger.chain import START, instant
from shared.ledger.merkle import root

FORM = "day-seal/1"


class Leaf(NamedTuple):
    """Where a chain stood when the day ended."""

    chain: UUID
    sequence: int
    digest: str

    @property
    def data(self) -> bytes:
        return f"{self.chain} {self.sequence} {self.digest}".encode()


@dataclass(frozen=True, slots=True)
class Day:
    """What the entries of a day come to."""

    day: date
    entries: int
    leaves: tuple[Leaf, ...]


class NoDocument(ValueError):
    """The text is not the document of a day seal."""


def document_of(day: Day, *, earlier: Sequence[str], sealed_at: datetime) -> str:
    """The text to sign, canonical JSON. earlier: the documents of all seals before, the first one first."""
    digests = [document_digest(text) for text in earlier]
    return canonical_text(
        {
            "form": FORM,
            "number": len(earlier) + 1,
            "day": day.day.isoformat(),
            "zone": "UTC",
            "entries": day.entries,
            "leaves": len(day.leaves),
            "root": root([leaf.data for leaf in day.leaves]).hex(),
            "previous": digests[-1] if digests else START,
            "history": {"size": len(digests), "root": history_root(digests)},
            "sealed_at": instant(sealed_at),
        }
    )


def read_document(text: str) -> dict[str, Any]:
    """Its values. Raises NoDocument for a text that is none, or not in its one form."""
    try:
        values: dict[str, Any] = loads(text)
        if values["form"] != FORM or canonical_text(values) != text:
            raise NoDocument("It is not written in the form of a day seal.")
    except (ValueError, KeyError, TypeError) as fault:
        raise NoDocument("It is not the document of a day seal.") from fault
    return values


def document_digest(text: str) -> str:
    return sha256_hex(text.encode())


def history_root(digests: Sequence[str]) -> str:
    return root(history_leaves(digests)).hex()


def history_leaves(digests: Sequence[str]) -> list[bytes]:
    return [bytes.fromhex(each) for each in digests]


def bounds(day: date) -> tuple[datetime, datetime]:
    """The first moment of a day and the first after it, UTC."""
    start = datetime.combine(day, time(), UTC)
    return start, start + timedelta(days=1)
