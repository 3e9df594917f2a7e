"""Appending to the ledger: one entry for each thing done, in the transaction that does it."""

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING
from uuid import UUID

from django.db import transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.utils import timezone

from shared.canonical import Json, canonical_text
from shared.ids import uuid7
from shared.ledger import rows
from shared.ledger.chain import link_digest
from shared.ledger.models import Entry
from shared.ledger.statements import Standing, Statements

if TYPE_CHECKING:
    from shared.models import Person


# What callers give as text is looked at; of the rest the types say what it is.
CHECKED = [column for column in Entry._meta.concrete_fields if column.name in {"kind", "device"}]


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
    connection = _in_transaction()
    with connection.cursor() as cursor:
        standing = Statements(connection, cursor).locked(chain, key)
    if standing.chain is None:
        return None
    _check_same_act(standing, key, chain=chain, kind=kind)
    return Entry.objects.get(key=key)


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
    entry = Entry(id=uuid7(), chain=chain, kind=kind, payload=canonical_text(payload), actor=by, device=device,
                  happened_at=happened_at, key=key, subject=subject)  # fmt: skip
    for field in CHECKED:
        field.clean(getattr(entry, field.attname), entry)
    connection = _in_transaction()
    with connection.cursor() as cursor:
        statements = Statements(connection, cursor)
        standing = statements.locked(chain, key)
        if standing.chain is not None:
            _check_same_act(standing, key, chain=chain, kind=kind)
            raise AlreadyAppended(f"Key {key} is already in the ledger as {kind}.")
        stated = rows.take()
        _link(entry, standing, {name: digest for name, (digest, _) in stated.items()})
        statements.insert(entry)
        statements.state(entry.id, stated)
    entry._state.adding, entry._state.db = False, connection.alias
    connection.on_commit(rows.Appended(chain))
    return entry


def append_rows(noted: rows.Noted, *, chain: UUID) -> None:
    """An entry of its own for a row that was written after the last entry of its transaction."""
    with transaction.atomic():
        rows.written(noted.model._base_manager.filter(pk=noted.pk))
        if noted.gone:
            transaction.on_commit(rows.Noted(noted.name, noted.model, noted.pk, gone=True))
        append(chain=chain, kind="rows.stated", payload={}, by=None, key=uuid7(), happened_at=timezone.now())


def _check_same_act(standing: Standing, key: UUID, *, chain: UUID, kind: str) -> None:
    if (standing.chain, standing.kind) != (chain, kind):
        raise KeyReused(f"Key {key} already stands for {standing.kind}; a new act needs a new key.")


def _link(entry: Entry, standing: Standing, stated: Mapping[str, str]) -> None:
    """Give the entry its place after the last one."""
    entry.sequence, entry.previous = standing.sequence + 1, standing.digest
    entry.recorded_at = _not_before(standing.recorded_at, standing.sealed_until)
    entry.rows = canonical_text(stated) if stated else ""
    entry.digest = link_digest(entry.link)


def _in_transaction() -> BaseDatabaseWrapper:
    connection: BaseDatabaseWrapper = transaction.get_connection()
    if not connection.in_atomic_block:
        raise NotInTransaction("The ledger is written inside transaction.atomic() only.")
    return connection


def _not_before(*known: datetime | None) -> datetime:
    """Now; or, when this machine's clock stands behind, the time of the entry before or the end of the sealed days."""
    return max([timezone.now(), *(when for when in known if when)])
