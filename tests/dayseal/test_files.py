"""Every file that a bound row names is read and compared with its name."""

from io import StringIO
from pathlib import Path

import pytest
from django.core.files.storage import storages
from django.core.management import call_command

from handover.dayseal.files import file_columns, problem_of
from handover.retention.models import ErasedFile
from handover.trip.models import TripPhoto
from shared.files.store import keep
from shared.ids import uuid7
from tests.factories import NINE


@pytest.fixture
def names(booked, isla) -> list[str]:
    """Three files of one photo of a receipt."""
    kept = [keep(text, suffix=".jpg").name for text in (b"as it came", b"as it is shown", b"small")]
    files = dict(zip(("original", "display", "thumb"), kept, strict=True))
    TripPhoto.objects.create(rental=booked, event=uuid7(), at=NINE, by=isla, **files)
    return kept


def verify() -> tuple[int, str]:
    out = StringIO()
    try:
        call_command("verify_files", stdout=out)
    except SystemExit as exit_:
        return int(str(exit_.code)), out.getvalue()
    return 0, out.getvalue()


def test_files_as_kept(names):
    assert verify() == (0, "3 files, each as it was kept.\n")


def test_an_altered_file_is_named(names):
    path = Path(storages["evidence"].path(names[1]))
    whole = path.read_bytes()
    path.write_bytes(whole[:-1] + b"!")
    code, said = verify()
    path.write_bytes(whole)
    assert code == 1
    assert names[1] in said
    assert said.endswith("1 of 3 files are not what was kept.\n")


def test_a_lost_file_is_named(names):
    path = Path(storages["evidence"].path(names[0]))
    whole = path.read_bytes()
    path.unlink()
    code, said = verify()
    path.write_bytes(whole)
    assert (code, f"The file {names[0]} is gone from the store.\n" in said) == (1, True)


def test_a_file_whose_time_was_over_is_no_problem(names, booked):
    path = Path(storages["evidence"].path(names[0]))
    whole = path.read_bytes()
    path.unlink()
    ErasedFile.objects.create(rental=booked, name=names[0], on=NINE.date(), why="schedule", removed_at=NINE)
    code, _ = verify()
    path.write_bytes(whole)
    assert code == 0


def test_what_is_no_name_is_said():
    assert problem_of("../secret") == "'../secret' is no name of a kept file."


def test_records_and_photos_are_among_them():
    columns = {(model.__name__, column) for model, column in file_columns()}
    assert {("Record", "file"), ("Photo", "original"), ("Photo", "display"), ("Photo", "thumb")} <= columns
