"""A table as CSV and as JSON: the same cells, with what it rests on. Money takes two columns, amount and currency."""

import csv
from collections.abc import Iterator
from datetime import date, datetime
from decimal import Decimal
from io import StringIO

from handover.insight.table import Cell, Money, Row, Table
from shared.canonical import Json, canonical_text
from shared.money import exponent
from shared.spreadsheet import as_text


def as_csv(table: Table) -> str:
    """With a heading; texts that a spreadsheet would take for a formula begin with an apostrophe."""
    out = StringIO()
    money = _money_columns(table)
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([*_heading(table, money)])
    writer.writerows([*_line(row, money)] for row in table.rows)
    return out.getvalue()


def _money_columns(table: Table) -> set[int]:
    return {place for row in table.rows for place, cell in enumerate(row.cells) if isinstance(cell, Money)}


def _heading(table: Table, money: set[int]) -> Iterator[str]:
    for place, column in enumerate(table.columns):
        yield column.name
        if place in money:
            yield f"{column.name}_currency"


def _line(row: Row, money: set[int]) -> Iterator[str]:
    for place, cell in enumerate(row.cells):
        yield as_text(cell) if isinstance(cell, str) else _plain(cell)
        if place in money:
            yield cell.currency if isinstance(cell, Money) else ""


def _plain(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, Money):
        return f"{cell.amount:.{exponent(cell.currency)}f}"
    if isinstance(cell, datetime):
        return cell.isoformat(timespec="seconds")
    return cell.isoformat() if isinstance(cell, date) else f"{cell:f}" if isinstance(cell, Decimal) else str(cell)


def as_json(table: Table, said: dict[str, str]) -> str:
    """{title, definition, rests_on, unknown, asked, rows}; figures as numbers in text, as everywhere in the product."""
    return canonical_text(
        {
            "title": table.title,
            "definition": table.definition,
            "rests_on": {"count": table.rests_on, "of": table.rests_words},
            "unknown": [*table.unknown],
            "warning": table.warning,
            "asked": dict(said),
            "rows": [_record(table, row) for row in table.rows],
        }
    )


def _record(table: Table, row: Row) -> dict[str, Json]:
    cells = zip(table.columns, row.cells, strict=True)
    return {column.name: _value(cell) for column, cell in cells}


def _value(cell: Cell) -> Json:
    if isinstance(cell, Money):
        return {"amount": _plain(cell), "currency": cell.currency}
    return cell if cell is None or isinstance(cell, str | int) else _plain(cell)
