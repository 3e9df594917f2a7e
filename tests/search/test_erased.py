"""After erasing nothing of a person is in any byte of the search, and no saved view names them."""

from collections.abc import Callable
from datetime import timedelta

import pytest
from django.db import connection

from fleet.models import Branch
from handover.rental.models import Rental
from handover.search.folding import compact, folded
from handover.search.models import SavedView, SearchRow, SearchWord
from shared.access.models import Person
from tests.factories import CustomerFactory, RentalFactory, UnitFactory
from tests.retention.conftest import after_commit, erased, kept_settled, pictures, settled, shots
from tests.retention.playing import DRIVER, LATE, NAME, NEEDLES, NOTICED, OBJECTION, REFERENCE, REMARK, WAIVED

__all__ = ["after_commit", "kept_settled", "pictures", "settled", "shots"]
FOUND = {"name": NAME, "driver": DRIVER, "remark": REMARK, "noticed": NOTICED, "lateness": LATE, "objection": OBJECTION,
         "waiver": WAIVED, "payment": REFERENCE}  # fmt: skip


def bytes_of_the_search() -> bytes:
    """Every column of the three tables, in small letters."""
    out = []
    with connection.cursor() as cursor:
        for model in (SearchRow, SearchWord, SavedView):
            cursor.execute(f"SELECT * FROM {model._meta.db_table}")  # noqa: S608
            out += [bytes(cell) if isinstance(cell, memoryview | bytes) else str(cell).encode()
                    for row in cursor.fetchall() for cell in row]  # fmt: skip
    return b"\n".join(out).lower()


def said() -> set[str]:
    """Which of what a person left behind stands there: as it was typed, and as it is compared."""
    there = bytes_of_the_search()
    needles = {name: text.encode() for name, text in FOUND.items()} | NEEDLES
    return {
        name
        for name, needle in needles.items()
        if needle.lower() in there or (folded(needle.decode())[:40].encode() in there)
    }


@pytest.fixture
def views(settled: Rental, isla: Person, inverlark: Branch) -> None:
    for name, phrase in (
        ("Maren’s trip", "late"), ("That one", "oduya"), ("Mail", "maren.oduya@example.org"), ("Call", "01632 960417"),
        ("Late returns", "late return"), ("The unit", "LRK 407"), ("By number", settled.number), ("Of August", ""),
    ):  # fmt: skip
        SavedView.objects.create(person=isla, name=name, phrase=phrase, narrowed={"start": "2026-08-01"})


def test_nothing_of_the_person_is_left(
    settled: Rental, views: None, after_commit: Callable[[], object]
) -> None:  # fmt: skip
    assert said() >= set(FOUND)
    with after_commit():  # type: ignore[attr-defined]
        erased(settled)
    assert said() == set()
    assert {row.source for row in SearchRow.objects.filter(rental=settled)} >= {"Rental", "Statement", "Record", "Mark"}
    assert not SearchRow.objects.filter(rental=settled, text__contains="Erased").exists()


def test_a_view_that_names_the_person_goes_and_the_others_stay(settled: Rental, views: None) -> None:
    erased(settled)
    assert set(SavedView.objects.values_list("name", flat=True)) == {
        "Late returns", "The unit", "By number", "Of August",
    }  # fmt: skip


def test_a_view_that_still_finds_somebody_stays(settled: Rental, views: None, inverlark: Branch) -> None:
    other = CustomerFactory(name="Ola Oduya")
    later = settled.planned_out_at + timedelta(days=400)
    RentalFactory(
        customer=other, leg=UnitFactory(number="305"), planned_out_at=later, planned_back_at=later + timedelta(days=2)
    )
    erased(settled)
    kept = set(SavedView.objects.values_list("name", flat=True))
    assert "That one" in kept
    assert not kept & {"Maren’s trip", "Mail"}


def test_a_phone_number_is_one_number_however_it_was_typed() -> None:
    assert compact("+44 1632 960417").endswith(compact("1632 960417"))
