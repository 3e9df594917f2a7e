"""A table as CSV, XLSX and JSON: the same cells, with what it rests on. Money takes two columns, amount and currency.

Rows may come one by one: as many as there are, they are written as they come.
"""

import csv
from collections.abc import Collection, Iterable, Iterator, Sequence
from datetime import date, datetime
from decimal import Decimal
from io import StringIO
from typing import IO

from handover.insight.table import Cell, Column, Money, Row, Table
from handover.insight.workbook import workbook
from shared.canonical import Json, canonical_text
from shared.money import exponent
from shared.spreadsheet import as_text

TYPES = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "json": "application/json",
}
"""What each form of a download is called on the wire."""


def as_csv(table: Table) -> str:
    out = StringIO()
    write_csv(out, table.columns, table.rows, money=_money_columns(table))
    return out.getvalue()


def write_csv(
    out: IO[str], columns: Sequence[Column], rows: Iterable[Row], *, money: Collection[int] = ()
) -> None:  # fmt: skip
    """With a heading; texts that a spreadsheet would take for a formula begin with an apostrophe."""
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([*_heading(columns, money)])
    writer.writerows([*_line(row, money)] for row in rows)


def as_xlsx(table: Table, said: dict[str, str]) -> IO[bytes]:
    """A second sheet says what the first one holds and what was asked."""
    about = [("title", table.title), ("definition", table.definition), ("rests_on", table.rests_words)]
    about += [("warning", table.warning)] if table.warning else []
    about += [("unknown", sentence) for sentence in table.unknown]
    return write_xlsx(table.columns, table.rows, about=[*about, *said.items()], money=_money_columns(table))


def write_xlsx(
    columns: Sequence[Column], rows: Iterable[Row], *, about: Sequence[tuple[str, str]], money: Collection[int] = ()
) -> IO[bytes]:  # fmt: skip
    """Texts as in the CSV; figures, days and times as such."""
    return workbook([*_heading(columns, money)], ([*_cells(row, money)] for row in rows), about)


def _cells(row: Row, money: Collection[int]) -> Iterator[Cell]:
    for place, cell in enumerate(row.cells):
        if isinstance(cell, Money):
            yield Decimal(_plain(cell))
        else:
            yield as_text(cell) if isinstance(cell, str) else cell
        if place in money:
            yield cell.currency if isinstance(cell, Money) else None


def _money_columns(table: Table) -> set[int]:
    return {place for row in table.rows for place, cell in enumerate(row.cells) if isinstance(cell, Money)}


def _heading(columns: Sequence[Column], money: Collection[int]) -> Iterator[str]:
    for place, column in enumerate(columns):
        yield column.name
        if place in money:
            yield f"{column.name}_currency"


def _line(row: Row, money: Collection[int]) -> Iterator[str]:
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
            "rows": [record(table.columns, row) for row in table.rows],
        }
    )


def record(columns: Sequence[Column], row: Row) -> dict[str, Json]:
    """One row of the JSON."""
    cells = zip(columns, row.cells, strict=True)
    return {column.name: _value(cell) for column, cell in cells}


def _value(cell: Cell) -> Json:
    if isinstance(cell, Money):
        return {"amount": _plain(cell), "currency": cell.currency}
    return cell if cell is None or isinstance(cell, str | int) else _plain(cell)
