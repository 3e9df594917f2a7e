"""Turns an uploaded file into rows, or says what kind of file it is instead."""

import csv
import io

import tablib
from django.utils.translation import gettext as _
from import_export.formats.base_formats import CSV
from tablib.exceptions import TablibException

from shared.spreadsheet import as_text

# All rows go in within one transaction, and on SQLite nobody else writes while it runs: some seconds, not minutes.
MOST_ROWS = 500
MOST_LINES = 10 * MOST_ROWS  # a cell may hold several lines; more than these are not even read


class UnreadableFile(ValueError):
    """The sentence to show at the file."""


class TooManyRows(UnreadableFile):
    def __init__(self, rows: int) -> None:
        super().__init__(
            _("This file has %(rows)s rows. Up to %(most)s go in at once: part it into several files.")
            % {"rows": rows, "most": MOST_ROWS}
        )


def read_csv(content: bytes) -> tablib.Dataset:
    """The rows of a CSV file. Raises UnreadableFile."""
    try:
        return PlainCsv().create_dataset(content.decode("utf-8-sig"))
    except Exception as problem:
        raise UnreadableFile(unreadable(problem)) from problem


def unreadable(problem: Exception) -> str:
    if isinstance(problem, TooManyRows):
        return str(problem)
    if isinstance(problem, UnicodeDecodeError):
        return _("This file is not UTF-8 text. In the spreadsheet, save it as CSV UTF-8; an XLSX file is not CSV.")
    if isinstance(problem, TablibException):
        return _(
            "A line has more cells than the first line has columns. A cell with a comma in it needs quotation marks."
        )
    if isinstance(problem, csv.Error):
        return _("This file is not CSV: %(problem)s.") % {"problem": problem}
    return _("This file cannot be read as CSV: %(problem)s") % {"problem": problem}


class PlainCsv(CSV):  # type: ignore[misc]
    """CSV with commas; what a spreadsheet would run as a formula is written as text."""

    def create_dataset(self, in_stream: str, **kwargs: object) -> tablib.Dataset:
        if "\0" in in_stream:
            raise UnreadableFile("zero bytes are in it")
        if (lines := in_stream.count("\n")) > MOST_LINES:
            raise TooManyRows(lines)
        rows = tablib.import_set(io.StringIO(in_stream, newline=""), format="csv", strict=True)
        if len(rows) > MOST_ROWS:
            raise TooManyRows(len(rows))
        return rows

    def export_data(self, dataset: tablib.Dataset, **kwargs: object) -> str:
        safe = tablib.Dataset(*[[as_text(str(cell)) for cell in row] for row in dataset], headers=dataset.headers)
        text: str = super().export_data(safe, **kwargs)
        return text
