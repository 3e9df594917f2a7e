from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from fleet.models import Unit
from handover.rental.models import Rental
from tests.imports.conftest import booking_row, csv_of, unit_row


@pytest.fixture
def run(tmp_path, maeve, unit_407):
    def run(kind, content, username="maeve"):
        file = tmp_path / "rows.csv"
        file.write_bytes(content)
        out, err = StringIO(), StringIO()
        try:
            call_command("import_csv", kind, str(file), "--as", username, stdout=out, stderr=err)
        except CommandError as problem:
            return err.getvalue() + str(problem), problem.returncode
        return out.getvalue(), 0

    return run


def test_units_go_in(run):
    assert run("units", csv_of(unit_row())) == ("Imported: 1 new, 0 changed.\n", 0)
    assert Unit.objects.filter(number="118").exists()


def test_bookings_go_in(run):
    assert run("bookings", csv_of(booking_row())) == ("Imported: 1 new, 0 changed.\n", 0)
    assert Rental.objects.get().outside_reference == "B-1"


def test_bad_rows_are_told_and_nothing_goes_in(run):
    told, code = run("units", csv_of(unit_row(), unit_row(number="140", plate="LRK 140", odometer="9")))
    assert code == 1
    assert told == (
        "Line 3, odometer: 9 names no unit. Write it as 41206 mi or 66314 km.\nNothing was imported."
    )  # fmt: skip
    assert not Unit.objects.filter(number="118").exists()


@pytest.mark.parametrize(
    ("content", "username", "sentence"),
    [
        (b"number\n", "maeve", "has no rows under its first line."),
        (b"\xff\xfe", "maeve", "is not UTF-8 text."),
        (b"number\n1\n", "nobody", "Nobody signs in as nobody."),
        (b"number\n1\n", "callum", "Callum Reid cannot import this."),
    ],
)
def test_what_cannot_be_done(run, callum, content, username, sentence):
    told, code = run("units", content, username)
    assert sentence in told
    assert code == 1
