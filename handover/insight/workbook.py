"""Tables as an XLSX workbook, written row by row: however many rows there are, one is in memory.

The same cells as in the CSV. Figures are figures and days are days; a text is a text, never a formula.
"""

from collections.abc import Iterable, Sequence
from datetime import datetime
from decimal import Decimal
from tempfile import SpooledTemporaryFile
from typing import IO, Any

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.styles import Font

from handover.insight.table import Cell

IN_MEMORY = 1 << 20  # bytes of a finished file; a longer one goes to the disk
LONGEST = 32_767  # letters that a cell of a workbook holds


def workbook(heading: Sequence[str], rows: Iterable[Sequence[Cell]], about: Sequence[tuple[str, str]]) -> IO[bytes]:
    """Two sheets: the rows under their heading, and what they are, as pairs of words. At its beginning."""
    book = Workbook(write_only=True)
    sheet = book.create_sheet("Rows")
    sheet.freeze_panes = "A2"
    sheet.append([_cell(sheet, name, bold=True) for name in heading])
    for row in rows:
        sheet.append([_cell(sheet, cell) for cell in row])
    told = book.create_sheet("About")
    for name, words in about:
        told.append([_cell(told, name, bold=True), _cell(told, words)])
    out: IO[bytes] = SpooledTemporaryFile(max_size=IN_MEMORY)  # noqa: SIM115 whoever sends it closes it
    book.save(out)
    out.seek(0)
    return out


def _cell(sheet: Any, value: Any, *, bold: bool = False) -> Any:
    """A workbook knows no zones: a time stands as the clocks of its branch showed it."""
    if isinstance(value, datetime):
        value = value.replace(tzinfo=None)
    cell = WriteOnlyCell(sheet, value=_text(value) if isinstance(value, str) else value)
    if isinstance(value, str):
        cell.data_type = "s"
    if isinstance(value, Decimal):
        cell.number_format = _digits(value)
    if bold:
        cell.font = Font(bold=True)
    return cell


def _text(words: str) -> str:
    return str(ILLEGAL_CHARACTERS_RE.sub("", words))[:LONGEST]


def _digits(value: Decimal) -> str:
    """As many decimals as the figure has."""
    places = -int(value.as_tuple().exponent)
    return f"0.{'0' * places}" if places > 0 else "0"
