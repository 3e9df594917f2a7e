"""A card goes out as CSV and comes in again the same; a bad row is named and nothing is imported."""

import csv
import io

import pytest

from fleet.models import Branch
from handover.ratecard.csv_file import csv_of, read_card
from handover.ratecard.flat import cells_of
from handover.rental.models import RateCard
from tests.factories import RULES, RateCardFactory
from tests.ratecard.conftest import FULL

pytestmark = pytest.mark.django_db


def problems(branch: Branch, *rows: str) -> list[str]:
    return read_card("\n".join(["path,value", *rows]).encode(), branch).problems


def test_there_and_back(card: RateCard, inverlark: Branch) -> None:
    read = read_card(csv_of(card).encode(), inverlark)
    assert read.problems == []
    assert read.cells == cells_of(FULL)
    assert read.valid_from == card.valid_from


def test_a_row_is_a_path_and_a_value(card: RateCard) -> None:
    rows = list(csv.reader(io.StringIO(csv_of(card))))
    assert rows[0] == ["path", "value"]
    assert ["fuel.price_per_litre", "1.62"] in rows
    assert ["damage.matrix.bumper.scuff.150", "180.00"] in rows


def test_no_spreadsheet_runs_a_value(inverlark: Branch) -> None:
    card = RateCardFactory(number=3, rules=RULES | {"damage": {"excluded": ["=1+1"]}}, note="+new")
    text = csv_of(card)
    assert "damage.excluded,'=1+1" in text
    assert read_card(text.encode(), inverlark).cells["damage.excluded"] == "=1+1"
    assert read_card(text.encode(), inverlark).note == "+new"


def test_semicolons_and_a_mark_of_byte_order_are_read(inverlark: Branch) -> None:
    read = read_card("\ufeffpath;value\r\nadmin.per_fine;30.00\r\n".encode(), inverlark)
    assert (read.cells, read.problems) == ({"admin.per_fine": "30.00"}, [])


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        (
            "fuel.price_per_liter,1.62",
            "Line 2, fuel.price_per_liter: A rate card says nothing at this path. fuel.price",
        ),
        ("fuel.price_per_litre,cheap", 'Line 2, fuel.price_per_litre: "cheap" is not a plain number'),
        ("admin.per_fine,", "Line 2, admin.per_fine: there is no value. Leave the row out"),
        ("admin.per_fine", "Line 2, admin.per_fine: there is no value."),
        ("admin.per_fine,1,250.00", "Line 2: there are more than two cells."),
        ("valid_from,2026-13-01", "Line 2, valid_from: 2026-13-01 is no date as 2026-08-18"),
        ("distance.unit,mi", "distance.included_per_day: This has to be stated."),
    ],
)
def test_a_bad_row_is_named(inverlark: Branch, row: str, sentence: str) -> None:
    assert any(one.startswith(sentence) for one in problems(inverlark, row))


def test_a_path_twice_is_named_with_both_lines(inverlark: Branch) -> None:
    said = problems(inverlark, "admin.per_fine,30", "", "admin.per_fine,35")
    assert said == ["Line 4, admin.per_fine: this path was in line 2 already. Once is enough."]


def test_a_value_over_two_lines_counts_its_lines(inverlark: Branch) -> None:
    said = problems(inverlark, 'damage.excluded,"roof', 'glass"', "admin.per_fine,x")
    assert [one.split(":")[0] for one in said] == ["Line 4, admin.per_fine"]


def test_every_bad_row_is_named_at_once(inverlark: Branch) -> None:
    assert len(problems(inverlark, "admin.per_fine,x", "nothing.here,1", "waste.grey_fee,-2")) == 3


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"\xff\xfe\x00", "not UTF-8 text"),
        (b"path,value\nadmin.per_fine,\0", "zero bytes"),
        (b'path,value\na,"b', "not CSV"),
        (b"key,amount\nadmin.per_fine,30", "the first line has to be path,value"),
        (b"", "This file has no values"),
        (b"path,value\n", "This file has no values"),
        (b"x" * 1_000_001, "above 1 MB"),
    ],
)
def test_what_is_no_card_is_said(inverlark: Branch, content: bytes, words: str) -> None:
    assert words in " ".join(read_card(content, inverlark).problems)
