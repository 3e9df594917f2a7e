"""Copies rows many times with one INSERT … SELECT each: the database counts, nothing passes through Python."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db import connection, models

from handover.demo.history.rows import Rows

PREFIX = 24
"""Hexadecimal digits of an id that a copy keeps; the last eight are its number."""


@dataclass(frozen=True, slots=True)
class Copies:
    """`number` is the column of the table of copies that counts those of a row; `own` says otherwise for a column.

    `only` says by model which copies have the row at all.
    """

    rows: Rows
    number: str
    own: Mapping[str, str] = field(default_factory=dict)
    only: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Part:
    """One column of a copy: SQL over the table of copies, and its parameters."""

    sql: str
    parameters: tuple[Any, ...] = ()


def copy(kinds: Sequence[Copies], source: Mapping[str, str]) -> Iterator[tuple[str, int]]:
    """Copies the rows of each kind, in the order that foreign keys ask for; gives (table, rows made).

    `source` is by number column the SELECT that gives one row a copy.
    """
    numbers = {(model, key): kind.number for kind in kinds for model, rows in kind.rows.items() for key in rows}
    for kind in kinds:
        for model in kind.rows:
            yield (
                model._meta.db_table,
                sum(_copied(row, kind, numbers, source[kind.number]) for row in kind.rows[model].values()),
            )


def _copied(row: models.Model, kind: Copies, numbers: Mapping[Any, str], source: str) -> int:
    columns = [column for column in row._meta.local_concrete_fields if not column.generated]
    columns = [column for column in columns if not isinstance(column, models.AutoField)]
    parts = [_part(row, column, kind, numbers) for column in columns]
    named = ", ".join(connection.ops.quote_name(str(column.column)) for column in columns)
    table = connection.ops.quote_name(row._meta.db_table)
    with connection.cursor() as cursor:
        cursor.execute(
            f"INSERT INTO {table} ({named}) SELECT {', '.join(part.sql for part in parts)} FROM ({source}) AS copy "  # noqa: S608
            f"WHERE {kind.only.get(row._meta.label, '1 = 1')}",
            [parameter for part in parts for parameter in part.parameters],
        )
        return int(cursor.rowcount)


def _part(row: models.Model, column: Any, kind: Copies, numbers: Mapping[Any, str]) -> Part:
    value = getattr(row, column.attname)
    if own := kind.own.get(f"{row._meta.label}.{column.name}"):
        return Part(own, (value,) * own.count("%s"))
    if isinstance(value, UUID):
        number = _number_of(row, column, value, kind, numbers)
        return _numbered(value, number) if number else _kept(column, value)
    if isinstance(value, date) and kind.number == "number":
        return _moved(column, value)
    return _kept(column, value)


def _number_of(row: models.Model, column: Any, value: UUID, kind: Copies, numbers: Mapping[Any, str]) -> str | None:
    """Which count of the copy an id takes: its own, that of what it points at, none for what is not copied."""
    if column.is_relation:
        return numbers.get((column.related_model, value))
    if column.primary_key or column.unique:
        return kind.number
    return next((number for (_, key), number in numbers.items() if key == value), None)


def _kept(column: Any, value: Any) -> Part:
    return Part(_typed("%s", column), (column.get_db_prep_save(value, connection),))


def _typed(sql: str, column: Any) -> str:
    """PostgreSQL asks for the type of a value that it is given in a SELECT."""
    return f"CAST({sql} AS {column.rel_db_type(connection)})" if connection.vendor == "postgresql" else sql


def _numbered(value: UUID, number: str) -> Part:
    """Number 0 is the first itself."""
    is_postgres = connection.vendor == "postgresql"
    digits = f"lpad(to_hex(copy.{number}), 8, '0')" if is_postgres else f"printf('%%08x', copy.{number})"
    chosen = f"CASE WHEN copy.{number} = 0 THEN %s ELSE %s || {digits} END"
    return Part(f"CAST({chosen} AS uuid)" if is_postgres else chosen, (value.hex, value.hex[:PREFIX]))


def _moved(column: Any, value: date) -> Part:
    stored = column.get_db_prep_save(value, connection)
    if connection.vendor == "postgresql":
        return Part(_typed(f"{_typed('%s', column)} - copy.days * interval '1 day'", column), (stored,))
    function = "datetime" if isinstance(value, datetime) else "date"
    return Part(f"{function}(%s, '-' || copy.days || ' days')", (stored,))
