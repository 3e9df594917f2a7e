"""A rate card as a flat CSV file: one row for each value, path and value. Read whole or not at all."""

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date

from django.utils.translation import gettext as _

from fleet.imports.cells import BadCell, iso_date
from fleet.imports.reading import unreadable
from fleet.models import Branch
from handover.ratecard.checking import check_cells
from handover.ratecard.flat import cells_of
from handover.rental.models import RateCard
from shared.phrasebook import said
from shared.spreadsheet import as_text, without_guard

HEADER = ["path", "value"]
LARGEST = 1_000_000


@dataclass(slots=True)
class ReadCard:
    """What a file says: cells, date and note. `problems` are sentences with their line; with one, nothing counts."""

    cells: dict[str, str] = field(default_factory=dict)
    valid_from: date | None = None
    note: str = ""
    problems: list[str] = field(default_factory=list)


def csv_of(card: RateCard) -> str:
    """As a spreadsheet opens it; what it would run as a formula is written as text."""
    file = io.StringIO(newline="")
    writer = csv.writer(file)
    writer.writerow(HEADER)
    writer.writerow(["valid_from", card.valid_from.isoformat()])
    writer.writerow(["note", as_text(card.note)])
    writer.writerows((path, as_text(value)) for path, value in cells_of(card.rules).items())
    return file.getvalue()


def read_card(content: bytes, branch: Branch) -> ReadCard:
    read = ReadCard()
    lines: dict[str, int] = {}
    if len(content) > LARGEST:
        read.problems.append(_("This file is above 1 MB; a rate card is a few kilobytes. Another file may be meant."))
        return read
    try:
        for line, cells in _rows(content):
            _take(read, lines, line, cells)
    except (UnicodeDecodeError, csv.Error) as problem:
        read.problems.append(unreadable(problem))
        return read
    checked = check_cells(read.cells, branch)
    read.problems += [_placed(lines, problem.path, problem.sentence) for problem in checked.problems]
    if not read.cells and not read.problems:
        read.problems.append(_("This file has no values. Under path,value each row has one of both."))
    return read


def _rows(content: bytes) -> Iterator[tuple[int, list[str]]]:
    """Each row with the line it begins in. Where a spreadsheet puts semicolons, they part the cells."""
    text = content.decode("utf-8-sig")
    if "\0" in text:
        raise csv.Error("zero bytes are in it")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=";" if text.startswith("path;") else ",", strict=True)
    begin = 1
    for cells in reader:
        if any(cell.strip() for cell in cells):
            yield begin, [cell.strip() for cell in cells]
        begin = reader.line_num + 1


def _take(read: ReadCard, lines: dict[str, int], line: int, cells: list[str]) -> None:
    if not lines:
        lines["path"] = line
        if cells != HEADER:
            read.problems.append(_("Line %(line)s: the first line has to be path,value.") % {"line": line})
        return
    path, value = cells[0], without_guard(cells[1] if len(cells) > 1 else "")
    if len(cells) > 2 and any(cells[2:]):
        read.problems.append(
            _("Line %(line)s: there are more than two cells. A value with a comma needs quotation marks.")
            % {"line": line}
        )
    elif not value and path != "note":
        read.problems.append(
            _("Line %(line)s, %(path)s: there is no value. Leave the row out, or write what counts.")
            % {"line": line, "path": path}
        )
    elif path in lines:
        read.problems.append(
            _("Line %(line)s, %(path)s: this path was in line %(before)s already. Once is enough.")
            % {"line": line, "path": path, "before": lines[path]}
        )
    else:
        lines[path] = line
        _sort_in(read, line, path, value)


def _sort_in(read: ReadCard, line: int, path: str, value: str) -> None:
    if path == "note":
        read.note = value
    elif path == "valid_from":
        try:
            read.valid_from = iso_date(value)
        except BadCell as problem:
            read.problems.append(_("Line %(line)s, valid_from: %(problem)s") % {"line": line, "problem": problem})
    else:
        read.cells[path] = value


def _placed(lines: dict[str, int], path: str, sentence: str) -> str:
    where = ", ".join(
        [*([_("Line %(line)s") % {"line": lines[path]}] if path in lines else []), *([path] if path else [])]
    )
    return f"{where}: {said(sentence)}" if where else said(sentence)
