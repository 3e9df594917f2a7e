"""Checking the ledger from the first entry to the last, in memory that does not grow."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import connection

from shared.ledger import triggers
from shared.ledger.chain import START, Link, link_digest
from shared.ledger.models import ChainHead, Entry
from shared.ledger.personal import altered_values
from shared.ledger.row_checking import Told, check_told, check_unstated

CHUNK = 500
COLUMNS = (*(column.name for column in fields(Link)), "digest")
Progress = Callable[[], None]


def _no_progress() -> None:
    """Nobody watches."""


@dataclass(slots=True)
class Walk:
    """How far one chain has been walked."""

    sequence: int = 0
    digest: str = START
    recorded_at: datetime | None = None
    at_head: tuple[str, datetime | None] = (START, None)

    def step(self, link: Link, digest: str) -> Iterator[str]:
        """Check one entry against itself and against the entry before it."""
        name = f"Entry {link.sequence} of chain {link.chain} ({link.kind}, id {link.id})"
        if link.sequence != self.sequence + 1:
            yield f"{name} stands where entry {self.sequence + 1} belongs: entries are missing, added or out of order."
        if link.previous != self.digest:
            yield f"{name} does not follow the entry before it: the digest it names is another."
        if link_digest(link) != digest:
            yield f"{name} is not what was recorded: its contents do not match its digest."
        if self.recorded_at and link.recorded_at < self.recorded_at:
            yield f"{name} is recorded earlier than the entry before it."
        self.sequence, self.digest, self.recorded_at = link.sequence, digest, link.recorded_at


def verify_all(*, since: datetime | None = None, progress: Progress = _no_progress) -> Iterator[str]:
    """A sentence for each problem in the whole ledger and in the rows it states; none when it holds.

    since keeps to the chains that were written to from that time on, each checked from its first entry;
    progress is called once for each entry.
    """
    yield from missing_triggers()
    yield from readable(_walk_all(since, progress), "The list of chains")
    if since is None:
        yield from readable(check_unstated(), "What is stated of rows")
    yield from readable(altered_values(), "A personal value")


def verify_chain(chain: UUID, *, progress: Progress = _no_progress) -> Iterator[str]:
    """A sentence for each problem in one chain, and in the rows that it was the last to state."""
    told = Told()
    yield from readable(_walk_chain(chain, told, progress), f"Chain {chain}")
    yield from readable(check_told(told), f"What chain {chain} states")


def readable(problems: Iterator[str], what: str) -> Iterator[str]:
    """Whatever a forced value does to its reader is one more problem, and not the end of the check."""
    try:
        yield from problems
    except Exception as fault:
        yield f"{what} cannot be read: {fault}"


def missing_triggers() -> Iterator[str]:
    for name in triggers.missing(connection):
        yield f"The database does not refuse every change of the ledger: its trigger {name} is missing."


def entries_to_verify(since: datetime | None = None) -> int:
    """How often verify_all will call progress."""
    entries = Entry.objects.all()
    return entries.filter(chain__in=_written_since(since)).count() if since else entries.count()


def _walk_all(since: datetime | None, progress: Progress) -> Iterator[str]:
    told = Told()
    for chain in _chains(since):
        yield from readable(_walk_chain(chain, told, progress), f"Chain {chain}")
    yield from readable(check_told(told), "What the ledger states")


def _walk_chain(chain: UUID, told: Told, progress: Progress) -> Iterator[str]:
    """Rows are compared for many entries at once, over the bounds of chains: most chains are short."""
    head = ChainHead.objects.filter(chain=chain).first()
    walk = Walk()
    try:
        for link, digest in _links(chain):
            yield from walk.step(link, digest)
            if head and link.sequence == head.sequence:
                walk.at_head = digest, link.recorded_at
            told.add(link.id, link.payload, link.rows)
            if told.is_full:
                yield from check_told(told)
            progress()
    except (ValueError, TypeError, AttributeError) as error:  # a forced row may hold what its column cannot
        yield f"Chain {chain} cannot be read after entry {walk.sequence}: {error}"
    yield from _check_head(chain, head, walk)


def _check_head(chain: UUID, head: ChainHead | None, walk: Walk) -> Iterator[str]:
    """Compare the chain with its head, which was read before it: entries may have been appended meanwhile."""
    if head is None:
        yield f"Chain {chain} has entries but no head." if walk.sequence else f"The ledger knows no chain {chain}."
    elif walk.sequence < head.sequence:
        yield f"Chain {chain} is cut off: it ends at entry {walk.sequence}, and entry {head.sequence} was recorded."
    elif walk.at_head != (head.digest, head.recorded_at):
        yield f"Entry {head.sequence} of chain {chain} is not the one that its head names."
    elif walk.sequence > ChainHead.objects.get(chain=chain).sequence:
        yield f"Chain {chain} goes on after entry {head.sequence}, its last: entry {walk.sequence} was not appended."


def _links(chain: UUID) -> Iterator[tuple[Link, str]]:
    rows = Entry.objects.filter(chain=chain).order_by("sequence", "pk").values_list(*COLUMNS)
    for *columns, digest in rows.iterator(chunk_size=CHUNK):
        yield Link(*columns), digest


def _chains(since: datetime | None) -> Iterator[UUID]:
    if since:
        found = _written_since(since).distinct()
    else:
        # The head of a chain whose entries are all gone is looked at too, and entries without a head.
        found = ChainHead.objects.values_list("chain", flat=True).union(Entry.objects.values_list("chain", flat=True))
    yield from found.order_by("chain").iterator(chunk_size=CHUNK)


def _written_since(since: datetime | None) -> Any:
    return Entry.objects.filter(recorded_at__gte=since).values_list("chain", flat=True)
