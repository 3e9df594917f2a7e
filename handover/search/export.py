"""All that is found as CSV, XLSX or JSON: the same columns, row by row, however many there are."""

from collections.abc import Iterator
from io import TextIOWrapper
from itertools import islice
from tempfile import SpooledTemporaryFile
from typing import IO

from handover.insight.export import record, write_csv, write_xlsx
from handover.insight.table import Column, Row
from handover.search.asking import Asked
from handover.search.kinds import Kind
from handover.search.models import SearchRow
from handover.search.page import label_of, title_of
from handover.search.queries import every_row
from handover.search.sources import KINDS
from shared.access.models import Person
from shared.canonical import canonical_text

MOST = 100_000
IN_MEMORY = 1 << 20  # bytes; a longer download goes to the disk

COLUMNS = tuple(
    Column(name, name, figures=False)
    for name in ("kind", "what", "rental", "unit", "title", "text", "branch", "day", "until", "id")
)


def as_file(asked: Asked, person: Person, form: str) -> IO[bytes]:
    """At its beginning; whoever sends it closes it. At most 100,000 rows."""
    rows = map(_row, islice(every_row(asked, person, most=MOST), MOST))
    if form == "xlsx":
        return write_xlsx(COLUMNS, rows, about=[*asked.said.items()])
    out: IO[bytes] = SpooledTemporaryFile(max_size=IN_MEMORY)  # noqa: SIM115
    text = TextIOWrapper(out, encoding="utf-8", newline="", write_through=True)
    if form == "csv":
        write_csv(text, COLUMNS, rows)
    else:
        text.writelines(_json(asked, rows))
    text.detach()
    out.seek(0)
    return out


def _row(row: SearchRow) -> Row:
    return Row(
        (
            str(KINDS[Kind(row.kind)]), label_of(row), row.rental.number if row.rental else None,
            row.unit.number if row.unit else None, title_of(row), row.text.replace("\n", "; "), row.branch.code,
            row.day, row.until, str(row.of),
        )
    )  # fmt: skip


def _json(asked: Asked, rows: Iterator[Row]) -> Iterator[str]:
    """{"asked", "rows"}, canonical as a whole: keys in order, no blanks."""
    yield f'{{"asked":{canonical_text(dict(asked.said))},"rows":['
    for number, row in enumerate(rows):
        yield ("," if number else "") + canonical_text(record(COLUMNS, row))
    yield "]}"
