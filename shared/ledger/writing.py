"""Appending to the ledger: one entry for each thing done, in the transaction that does it."""

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from shared.canonical import Json, canonical_text
from shared.ids import uuid7
from shared.ledger.chain import link_digest
from shared.ledger.models import ChainHead, Entry

if TYPE_CHECKING:
    from shared.models import Person


class KeyReused(ValueError):
    """The key already stands for another act: another chain, or another kind."""


class AlreadyAppended(RuntimeError):
    """The act of this key is in the ledger. Ask seen() before acting, so that a replay does nothing twice."""


class NotInTransaction(RuntimeError):
    """An entry is written with the rows it tells of, or neither is: append needs the transaction of its action."""


def seen(key: UUID, *, chain: UUID, kind: str) -> Entry | None:
    """The entry this key already made, for a replay; None when the act is new.

    Call it first in an action: it locks the chain until the transaction ends, so that of two replays at the same time
    one acts and the other gets its entry. Raises KeyReused when the key stands for another act.
    """
    _lock(chain)
    return _entry_of(key, chain=chain, kind=kind)


def append(
    *,
    chain: UUID,
    kind: str,
    payload: Mapping[str, Json],
    by: "Person | None",
    key: UUID,
    happened_at: datetime,
    subject: UUID | None = None,
    device: str = "",
) -> Entry:
    """Write the next entry of a chain, in the transaction of the caller.

    by is None when the program acts by itself. happened_at is aware and may lie before the time of recording.
    Raises NotInTransaction, KeyReused, AlreadyAppended, ValueError for a naive time,
    django ValidationError for a kind that is not dotted lower-case text or a device over 64 characters.
    """
    if timezone.is_naive(happened_at):
        raise ValueError("The time of an entry names its zone; this one does not.")
    head = _lock(chain)
    if _entry_of(key, chain=chain, kind=kind):
        raise AlreadyAppended(f"Key {key} is already in the ledger as {kind}.")
    entry = Entry(
        id=uuid7(),
        chain=chain,
        sequence=head.sequence + 1,
        kind=kind,
        payload=canonical_text(payload),
        actor=by,
        device=device,
        happened_at=happened_at,
        recorded_at=_not_before(head.recorded_at),
        key=key,
        subject=subject,
        previous=head.digest,
    )
    entry.clean_fields(exclude=["actor", "digest"])
    entry.digest = link_digest(entry.link)
    entry.save(force_insert=True)
    _advance(head, entry)
    return entry


def _lock(chain: UUID) -> ChainHead:
    """The head of the chain, made if absent, held until the transaction ends (SQLite holds the whole database)."""
    if not transaction.get_connection().in_atomic_block:
        raise NotInTransaction("The ledger is written inside transaction.atomic() only.")
    heads = ChainHead.objects.select_for_update()
    head = heads.filter(chain=chain).first()
    if head is None:
        ChainHead.objects.bulk_create([ChainHead(chain=chain)], ignore_conflicts=True)
        head = heads.get(chain=chain)
    return head


def _entry_of(key: UUID, *, chain: UUID, kind: str) -> Entry | None:
    entry = Entry.objects.filter(key=key).first()
    if entry and (entry.chain, entry.kind) != (chain, kind):
        raise KeyReused(f"Key {key} already stands for {entry.kind}; a new act needs a new key.")
    return entry


def _not_before(last: datetime | None) -> datetime:
    """Now, or the time of the entry before when the clock of this machine stands behind it."""
    now = timezone.now()
    return now if last is None else max(now, last)


def _advance(head: ChainHead, entry: Entry) -> None:
    head.sequence, head.digest, head.recorded_at = entry.sequence, entry.digest, entry.recorded_at
    head.save(update_fields=["sequence", "digest", "recorded_at"])
