"""What is found, and each table of the manager's view, as CSV, XLSX and JSON: the same cells, never a formula."""

import csv
import json
from datetime import date, datetime
from decimal import Decimal
from io import BytesIO, StringIO
from typing import Any
from zoneinfo import ZoneInfo

from django.test import Client
from django.urls import reverse
from openpyxl import load_workbook

from handover.insight.export import as_xlsx
from handover.insight.table import Column, Money, Row, Table
from handover.rental.models import Rental
from shared.access.models import Person
from shared.canonical import canonical_text
from tests.factories import an_act
from tests.playing import start
from tests.search.test_pages import many


def taken(client: Client, form: str, **said: str) -> bytes:
    answer = client.get(reverse("search-export", args=[form]), said)
    assert answer.status_code == 200
    assert answer["Cache-Control"] == "no-store"
    assert f'.{form}"' in answer["Content-Disposition"]
    return b"".join(answer.streaming_content)  # type: ignore[attr-defined]


def sheet_of(data: bytes, name: str = "Rows") -> list[tuple[Any, ...]]:
    return [*load_workbook(BytesIO(data))[name].iter_rows(values_only=True)]


def test_all_that_is_found_in_three_forms(as_isla: Client, booked: Rental) -> None:
    many(booked, 70)
    rows = list(csv.DictReader(StringIO(taken(as_isla, "csv", q="testa").decode())))
    told = taken(as_isla, "json", q="testa").decode()
    heading, *cells = sheet_of(taken(as_isla, "xlsx", q="testa"))
    assert len(rows) == len(cells) == len(json.loads(told)["rows"]) == 70
    assert list(rows[0]) == [*heading]
    assert rows[0] == {name: _plain(cell) for name, cell in zip(heading, cells[0], strict=True)}
    assert {name: text or None for name, text in rows[0].items()} == json.loads(told)["rows"][0]
    assert told == canonical_text(json.loads(told))
    assert json.loads(told)["asked"] == {"q": "testa"}
    assert rows[0]["title"] == "LK-60000, Maren Testa 000"


def _plain(cell: Any) -> str:
    return "" if cell is None else cell.date().isoformat() if isinstance(cell, datetime) else cell


def test_more_than_one_reading_at_once(as_isla: Client, booked: Rental, monkeypatch: Any) -> None:
    many(booked, 25)
    monkeypatch.setattr("handover.search.queries.every_row.__kwdefaults__", {"at_once": 7})
    numbers = [row["rental"] for row in csv.DictReader(StringIO(taken(as_isla, "csv", q="testa", kind="b").decode()))]
    assert sorted(numbers) == sorted(set(numbers))
    assert len(numbers) == 25


def test_no_more_than_a_download_holds(as_isla: Client, booked: Rental, monkeypatch: Any) -> None:
    many(booked, 9)
    monkeypatch.setattr("handover.search.export.MOST", 5)
    assert len(json.loads(taken(as_isla, "json", q="testa"))["rows"]) == 5


def test_words_that_a_spreadsheet_would_compute(as_isla: Client, isla: Person, booked: Rental) -> None:
    from handover.walkround.actions import remark

    walk = start(booked, "pickup", isla)
    remark(walk, text="=HYPERLINK(0) bell\x07", act=an_act(isla))
    (row,) = csv.DictReader(StringIO(taken(as_isla, "csv", q="hyperlink").decode()))
    assert row["text"].startswith("'=HYPERLINK(0)")
    book = load_workbook(BytesIO(taken(as_isla, "xlsx", q="hyperlink")))
    cell = next(cell for cell in book["Rows"][2] if cell.value and "HYPERLINK" in str(cell.value))
    assert (cell.data_type, cell.value) == ("s", "'=HYPERLINK(0) bell")


LONDON = ZoneInfo("Europe/London")
TABLE = Table(
    "Recovery", "What was kept.",
    (Column("line", "Line", figures=False), Column("raw", "Raw"), Column("pct", "%"), Column("at", "When"),
     Column("day", "Day"), Column("count", "Count")),
    (
        Row(("=Fuel", Money(Decimal("51.03"), "GBP"), Decimal("36.5"), datetime(2026, 8, 18, 11, 47, tzinfo=LONDON),
             date(2026, 8, 18), -4)),
        Row(("Gas", None, None, None, None, 0)),
    ),
    2, "2 statements", ("Cash is not known.",), "Few.",
)  # fmt: skip


def test_a_table_as_a_workbook_has_figures_days_and_texts() -> None:
    with as_xlsx(TABLE, {"branch": "all"}) as file:
        data = file.read()
    heading, first, second = sheet_of(data)
    assert heading == ("line", "raw", "raw_currency", "pct", "at", "day", "count")
    assert first == (
        "'=Fuel", 51.03, "GBP", 36.5, datetime(2026, 8, 18, 11, 47), datetime(2026, 8, 18), -4,  # noqa: DTZ001
    )  # fmt: skip
    assert second == ("Gas", None, None, None, None, None, 0)
    assert load_workbook(BytesIO(data))["Rows"]["B2"].number_format == "0.00"
    assert dict(sheet_of(data, "About")) == {
        "title": "Recovery", "definition": "What was kept.", "rests_on": "2 statements", "warning": "Few.",
        "unknown": "Cash is not known.", "branch": "all",
    }  # fmt: skip


def test_the_managers_tables_come_as_workbooks_too(as_ruth: Client, booked: Rental) -> None:
    answer = as_ruth.get(reverse("insight-export", args=["pickup-minutes", "xlsx"]))
    assert answer.status_code == 200
    assert answer["Content-Type"].endswith("spreadsheetml.sheet")
    assert '.xlsx"' in answer["Content-Disposition"]
    assert sheet_of(answer.content)[0]
    page = as_ruth.get(reverse("insight-chapter", args=["handovers"])).text
    assert reverse("insight-export", args=["pickup-minutes", "xlsx"]) in page
