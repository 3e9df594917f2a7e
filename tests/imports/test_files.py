"""Files that are not what was asked for."""

import pytest

from fleet.imports.reading import UnreadableFile, read_csv
from tests.imports.conftest import csv_of, told, unit_row

WANTED = "number,plate,vin,vin_has_check_digit,branch,layout,odometer,in_service_on"


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"PK\x03\x04\xff\xfe", "This file is not UTF-8 text."),
        ("número,plate".encode("latin-1"), "This file is not UTF-8 text."),
        (b"a,b\n1,2,3\n", "A line has more cells than the first line has columns."),
        (b'a,b\n"1,2\n', "This file is not CSV: unexpected end of data."),
        (b"a,b\n" + b"1,2\n" * 501, "This file has 501 rows. Up to 500 go in at once: part it into several files."),
        (b"a,b\n" + b"1,2\n" * 100_000, "This file has 100001 rows."),
        (b"a,b\n1,\x002\n", "This file cannot be read as CSV: zero bytes are in it"),
    ],
)
def test_what_is_not_csv(content, sentence):
    with pytest.raises(UnreadableFile, match=sentence):
        read_csv(content)


def test_a_spreadsheets_mark_at_the_start_is_no_column():
    assert read_csv(b"\xef\xbb\xbfa,b\n1,2\n").headers == ["a", "b"]


def test_columns_that_are_missing_or_unknown(take_units):
    row = unit_row()
    del row["vin"]
    result = take_units(row | {"colour": "white"})
    assert told(result) == [
        (0, "", f"The first line has no column vin and has a column that is not known, colour. It reads: {WANTED}")
    ]


def test_a_column_twice(take_units):
    content = csv_of(unit_row()).replace(b"number,plate", b"number,number,plate").replace(b'"118"', b'"118","118"')
    from fleet.imports.units import UnitResource
    from shared.access.models import Person

    result = UnitResource().take_file(read_csv(content), by=Person.objects.get(username="maeve"))
    assert told(result) == [(0, "", f"The first line has two columns number. It reads: {WANTED}")]


def test_semicolons_between_the_columns(take_units):
    result = take_units({WANTED.replace(",", ";"): "118;LRK 118"})
    assert told(result) == [(0, "", "The columns are parted by semicolons. Save the file with commas.")]
