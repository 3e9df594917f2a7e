"""Tables as their page shows them: cells in words, the plot drawn, the way to the rentals behind each row."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from handover.insight.asking import Asked
from handover.insight.drawing import drawn
from handover.insight.export import TYPES
from handover.insight.registry import Build, key_of
from handover.insight.table import Cell, Money, Row, Table
from handover.rental.models import Rental
from shared.dates import dated, dated_moment
from shared.money import NARROW, money_text

MOST_SHOWN = 200


@dataclass(frozen=True, slots=True)
class CellShown:
    words: str
    figures: bool


@dataclass(frozen=True, slots=True)
class RowShown:
    """`first` is the heading of the row; `href` leads to the rental or to the rentals behind it."""

    first: CellShown
    others: tuple[CellShown, ...]
    href: str


@dataclass(frozen=True, slots=True)
class TableShown:
    """`left_out` are the rows that only the export holds."""

    key: str
    table: Table
    rows: Sequence[RowShown]
    left_out: int
    drawing: SafeString
    exports: Mapping[str, str]


def shown(build: Build, asked: Asked) -> TableShown:
    table, key = build(asked), key_of(build)
    where = asked.address
    return TableShown(
        key=key,
        table=table,
        rows=[_row(row, table, key, where) for row in table.rows[:MOST_SHOWN]],
        left_out=max(len(table.rows) - MOST_SHOWN, 0),
        drawing=_drawing(table),
        exports={form.upper(): f"{reverse('insight-export', args=[key, form])}?{where}" for form in TYPES},
    )


def _row(row: Row, table: Table, key: str, where: str) -> RowShown:
    cells = tuple(
        CellShown(cell_words(cell), column.figures) for column, cell in zip(table.columns, row.cells, strict=True)
    )
    return RowShown(cells[0], cells[1:], _href(row, table, key, where))


def _href(row: Row, table: Table, key: str, where: str) -> str:
    if row.rental:
        return reverse("rental", args=[row.rental])
    if row.key and table.drill:
        return f"{reverse('insight-rentals', args=[key])}?{where}&{urlencode({'row': row.key})}"
    return ""


def cell_words(cell: Cell) -> str:
    if cell is None:
        return _("not known")
    if isinstance(cell, Money):
        return money_text(cell.amount, cell.currency)
    if isinstance(cell, datetime):
        return dated_moment(cell)
    if isinstance(cell, date):
        return dated(cell)
    return _figure(cell) if isinstance(cell, int | Decimal) else cell


def _figure(value: int | Decimal) -> str:
    """1 040.5; the sign is a minus, not a hyphen."""
    text = f"{abs(value):,f}" if isinstance(value, Decimal) else f"{abs(value):,}"
    return ("− " if value < 0 else "") + text.replace(",", NARROW)


def _drawing(table: Table) -> SafeString:
    """The drawing escapes every word it is given. One line needs no scale to compare by."""
    if table.drawing is None or len(table.drawing.spans) < 2:
        return SafeString("")
    label = _("%(title)s. %(axis)s. The figures stand in the table.")
    words = label % {"title": table.title, "axis": table.drawing.axis}
    return mark_safe(drawn(table.drawing, words))  # noqa: S308


@dataclass(frozen=True, slots=True)
class RentalsPage:
    """The rentals behind one row, or with no row all of the period; `many` of them, the first of which are shown."""

    title: str
    words: str
    rentals: Sequence[Rental]
    many: int


def rentals_page(build: Build, asked: Asked, key: str) -> RentalsPage:
    """Raises LookupError for a row that is not there."""
    table = build(asked)
    row = table.row(key)
    if key and (row is None or table.drill is None):
        raise LookupError(key)
    found = Rental.objects.filter(pk__in=set(table.drill(key))) if row and table.drill else asked.rentals
    rows = found.filter(branch__in=[one.pk for one in asked.branches])
    newest = rows.select_related("branch", "customer").order_by("-planned_back_at", "number")
    words = ", ".join(_texts(row)) if row else _("All rentals of the period")
    return RentalsPage(table.title, words, list(newest[:MOST_SHOWN]), rows.count())


def _texts(row: Row) -> Iterator[str]:
    """What the row is called: its cells up to the first figure."""
    for cell in row.cells:
        if not isinstance(cell, str):
            return
        yield cell
