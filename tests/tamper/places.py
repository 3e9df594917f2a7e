"""Every row that is evidence: where it lies, and which check is nearest to it."""

# ruff: noqa: S608 names of tables and columns are the database's own

import random
from dataclasses import dataclass
from uuid import UUID

from django.db import connection

from shared.ledger.days import SEALS_CHAIN
from shared.ledger.models import ChainHead, DaySeal, Entry, PersonalValue, RowStated
from shared.ledger.rows import BOUND
from tests.tamper.checks import Check, of_chain, of_days


@dataclass(frozen=True, slots=True)
class Column:
    name: str
    declared: str


@dataclass(frozen=True, slots=True)
class Place:
    """A row by its rowid, and the chain in which it stands or is stated."""

    table: str
    rowid: int
    chain: UUID

    @property
    def check(self) -> Check:
        return of_days if self.table == DaySeal._meta.db_table else of_chain(self.chain)


def fetch(statement: str, *values: object) -> list[tuple[object, ...]]:
    with connection.cursor() as cursor:
        cursor.execute(statement, values)
        return list(cursor.fetchall())


def columns(table: str) -> list[Column]:
    return [Column(str(name), str(kind).lower()) for _, name, kind, *_ in fetch(f"PRAGMA table_info({table})")]


def places() -> dict[str, list[Place]]:
    """By table."""
    chain_of = dict(Entry.objects.values_list("pk", "chain"))
    found: dict[str, list[Place]] = {}

    def add(table: str, rowid: object, chain: UUID) -> None:
        found.setdefault(table, []).append(Place(table, int(str(rowid)), chain))

    for model in (Entry, ChainHead):
        for rowid, chain in fetch(f"SELECT rowid, +chain FROM {model._meta.db_table}"):
            add(model._meta.db_table, rowid, UUID(str(chain)))
    for rowid, name, entry in fetch("SELECT rowid, name, +entry FROM shared_rowstated"):
        chain = chain_of[UUID(str(entry))]
        add(RowStated._meta.db_table, rowid, chain)
        label, _, key = str(name).partition(":")
        for row in _rowid(label, key):
            add(BOUND[label]._meta.db_table, row, SEALS_CHAIN if label == "shared.dayseal" else chain)
    return found


def _rowid(label: str, key: str) -> list[object]:
    model = BOUND[label]
    kept = key.replace("-", "") if model._meta.pk.get_internal_type() == "UUIDField" else key
    table, column = model._meta.db_table, model._meta.pk.column
    return [row for (row,) in fetch(f"SELECT rowid FROM {table} WHERE {column} = %s", kept)]


def picked(found: dict[str, list[Place]], rng: random.Random) -> Place:
    """Half of the time any row, else any table first: what has few rows is tried too."""
    table = rng.choice(sorted(found))
    if rng.random() < 0.5:
        table = rng.choices(sorted(found), [len(found[name]) for name in sorted(found)])[0]
    return rng.choice(found[table])


def unstated() -> int:
    """Personal values that no entry states: there must be none."""
    return PersonalValue.objects.count() - RowStated.objects.filter(name__startswith="shared.personalvalue:").count()
