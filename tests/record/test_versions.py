"""A later Record names the one before it by its digest, whatever came between."""

from datetime import timedelta

import pytest

from handover.record.actions import new_code
from handover.record.models import Record
from handover.record.queries import previous_of
from handover.record.writing import previous_record
from handover.rental.models import Rental
from tests.factories import NINE

pytestmark = pytest.mark.django_db


def a_record(rental: Rental, kind: str, version: int, hours: int, **said: str) -> Record:
    return Record.objects.create(
        rental=rental, leg=rental.legs.get(), kind=kind, version=version, code=new_code(),
        made_at=NINE + timedelta(hours=hours), **{"state": "ready", "pdf_sha256": f"{hours:064x}"} | said,
    )  # fmt: skip


def test_each_version_names_the_one_before_it(booked: Rental) -> None:
    pickup, first, second, third = (
        a_record(booked, kind, version, hours)
        for kind, version, hours in (("pickup", 1, 1), ("return", 1, 2), ("return", 2, 3), ("return", 3, 4))
    )
    assert [previous_record(row) for row in (pickup, first, second, third)] == [None, pickup, first, second]


def test_one_that_could_not_be_made_is_not_named(booked: Rental) -> None:
    first = a_record(booked, "return", 1, 1)
    a_record(booked, "return", 2, 2, state="failed", pdf_sha256="")
    assert previous_record(a_record(booked, "return", 3, 3)) == first


def test_it_is_found_again_by_the_digest(booked: Rental) -> None:
    first = a_record(booked, "return", 1, 1)
    assert previous_of(a_record(booked, "return", 2, 2, previous_sha256=first.pdf_sha256)) == first
