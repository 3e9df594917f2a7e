"""The four statements that an append is made of, written out: through models they take three times as long."""

from collections.abc import Iterable
from datetime import UTC, datetime, time, timedelta
from typing import Any, NamedTuple
from uuid import UUID

from django.db import connection

from shared.ledger.chain import START
from shared.ledger.models import Entry

# The entry of this key, and the last sealed day, are asked for on the same way.
STANDING = """
    SELECT head.sequence, head.digest, head.recorded_at, entry.chain, entry.kind,
           (SELECT max(day) FROM shared_dayseal)
    FROM shared_chainhead head LEFT JOIN shared_entry entry ON entry.key = %s WHERE head.chain = %s"""
BEGIN = """
    INSERT INTO shared_chainhead (chain, sequence, digest, recorded_at) VALUES (%s, 0, %s, NULL)
    ON CONFLICT (chain) DO NOTHING"""
ADVANCE = "UPDATE shared_chainhead SET sequence = %s, digest = %s, recorded_at = %s WHERE chain = %s"
INSERT = """
    INSERT INTO shared_entry (id, chain, sequence, kind, payload, actor_id, device, happened_at, recorded_at, key,
                              subject, "rows", previous, digest)
    VALUES (%s, %s, %s, %s, %s, %s, %s, %s, %s, %s, %s, %s, %s, %s)"""
STATE = """
    INSERT INTO shared_rowstated (name, digest, salt, entry) VALUES (%s, %s, %s, %s)
    ON CONFLICT (name) DO UPDATE SET digest = excluded.digest, salt = excluded.salt, entry = excluded.entry"""


class Standing(NamedTuple):
    """Where a chain stands: its last entry, the entry that a key already made, and the end of the last sealed day."""

    sequence: int
    digest: str
    recorded_at: datetime | None
    chain: UUID | None
    kind: str | None
    sealed_until: datetime | None


def locked(chain: UUID, key: UUID) -> Standing:
    """The head of the chain, made if absent, held until the transaction ends (SQLite holds the whole database)."""
    found = _standing(chain, key)
    if found is None:
        _run(BEGIN, chain, START)
        found = _standing(chain, key)
    if found is None:
        raise LookupError(f"Chain {chain} has no head and none can be made.")
    return found


def insert_entry(entry: Entry) -> None:
    """The entry, and its chain's head after it."""
    _run(
        INSERT, entry.id, entry.chain, entry.sequence, entry.kind, entry.payload, entry.actor_id, entry.device,
        entry.happened_at, entry.recorded_at, entry.key, entry.subject, entry.rows, entry.previous, entry.digest,
    )  # fmt: skip
    _run(ADVANCE, entry.sequence, entry.digest, entry.recorded_at, entry.chain)
    entry._state.adding, entry._state.db = False, connection.alias


def state_rows(stated: Iterable[tuple[Any, ...]]) -> None:
    """(name, digest, salt, id of the entry) of each row, in place of what was stated of it before."""
    values = [[_plain(value) for value in row] for row in stated]
    if values:
        with connection.cursor() as cursor:
            cursor.executemany(STATE, values)


def _standing(chain: UUID, key: UUID) -> Standing | None:
    lock = " FOR UPDATE OF head" if connection.vendor == "postgresql" else ""
    with connection.cursor() as cursor:
        cursor.execute(STANDING + lock, [_plain(key), _plain(chain)])
        row = cursor.fetchone()
    if row is None:
        return None
    sequence, digest, recorded_at, chain_of_key, kind, day = row
    return Standing(sequence, digest, _when(recorded_at), _id(chain_of_key), kind, _end_of(day))


def _run(statement: str, *values: Any) -> None:
    with connection.cursor() as cursor:
        cursor.execute(statement, [_plain(value) for value in values])


def _plain(value: Any) -> Any:
    """As this database's driver takes it."""
    if isinstance(value, datetime):
        return connection.ops.adapt_datetimefield_value(value)
    return value.hex if isinstance(value, UUID) and not connection.features.has_native_uuid_field else value


def _when(value: datetime | None) -> datetime | None:
    """SQLite keeps times without their zone, which is UTC."""
    return value.replace(tzinfo=UTC) if value and value.tzinfo is None else value


def _id(value: Any) -> UUID | None:
    return UUID(value) if isinstance(value, str) else value


def _end_of(day: Any) -> datetime | None:
    """The first moment after a day, UTC."""
    if day is None:
        return None
    start = datetime.fromisoformat(day) if isinstance(day, str) else datetime.combine(day, time())
    return start.replace(tzinfo=UTC) + timedelta(days=1)
