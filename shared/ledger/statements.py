"""The statements that an append is made of, written out: through models they take three times as long."""

from collections.abc import Callable, Mapping
from datetime import UTC, datetime, time, timedelta
from typing import Any, NamedTuple
from uuid import UUID

from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.backends.utils import CursorWrapper

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


class Statements:
    """Those of one append, on one cursor."""

    def __init__(self, connection: BaseDatabaseWrapper, cursor: CursorWrapper) -> None:
        self.cursor = cursor
        self.lock = " FOR UPDATE OF head" if connection.vendor == "postgresql" else ""
        self.keeps_ids = bool(connection.features.has_native_uuid_field)
        self.time: Callable[[datetime], Any] = connection.ops.adapt_datetimefield_value

    def locked(self, chain: UUID, key: UUID) -> Standing:
        """The head of the chain, made if absent, held until the transaction ends (SQLite holds the whole database)."""
        found = self._standing(chain, key)
        if found is None:
            self._run(BEGIN, chain, START)
            found = self._standing(chain, key)
        if found is None:
            raise LookupError(f"Chain {chain} has no head and none can be made.")
        return found

    def insert(self, entry: Entry) -> None:
        """The entry, and its chain's head after it."""
        self._run(
            INSERT, entry.id, entry.chain, entry.sequence, entry.kind, entry.payload, entry.actor_id, entry.device,
            entry.happened_at, entry.recorded_at, entry.key, entry.subject, entry.rows, entry.previous, entry.digest,
        )  # fmt: skip
        self._run(ADVANCE, entry.sequence, entry.digest, entry.recorded_at, entry.chain)

    def state(self, entry: UUID, rows: Mapping[str, tuple[str, str]]) -> None:
        """Digest and salt of each row, by name, in place of what was stated of it before."""
        if rows:
            kept = self._plain(entry)
            self.cursor.executemany(STATE, [(name, digest, salt, kept) for name, (digest, salt) in rows.items()])

    def _standing(self, chain: UUID, key: UUID) -> Standing | None:
        self._run(STANDING + self.lock, key, chain)
        row = self.cursor.fetchone()
        if row is None:
            return None
        sequence, digest, recorded_at, chain_of_key, kind, day = row
        return Standing(sequence, digest, _when(recorded_at), _id(chain_of_key), kind, _end_of(day))

    def _run(self, statement: str, *values: Any) -> None:
        self.cursor.execute(statement, [self._plain(value) for value in values])

    def _plain(self, value: Any) -> Any:
        """As this database's driver takes it."""
        if isinstance(value, UUID):
            return value if self.keeps_ids else value.hex
        return self.time(value) if isinstance(value, datetime) else value


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
