"""No page asks the database more often because there is more in it."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from fleet.models import Branch
from handover.record.models import Record
from handover.rental.models import Customer, Leg, Rental
from handover.statement.models import Statement
from handover.walkround.models import WalkRound
from shared.access.models import Person
from tests.factories import UnitFactory
from tests.playing import start

MOST = 15
NOON = datetime(2026, 8, 14, 11, tzinfo=UTC)
ON_THE_DAY = 40


@pytest.fixture(params=[8, 800])
def many(request: pytest.FixtureRequest, booked: Rental, isla: Person) -> int:
    """So many rentals of as many units' weeks: at most 40 go out on 14 August, one of those is walked round."""
    units = [booked.legs.get().unit, *(UnitFactory(number=str(500 + n)) for n in range(min(request.param, ON_THE_DAY)))]
    Rental.objects.bulk_create(_rentals(booked, request.param))
    Leg.objects.bulk_create(
        Leg(rental=rental, unit=units[1 + n % (len(units) - 1)])
        for n, rental in enumerate(Rental.objects.exclude(pk=booked.pk))
    )
    start(booked, "pickup", isla)
    return int(request.param)


def _rentals(like: Rental, count: int) -> Iterator[Rental]:
    customer: Customer = like.customer
    for n in range(count):
        out_at = NOON + timedelta(days=0 if n < ON_THE_DAY else n // ON_THE_DAY, minutes=n % 240)
        yield Rental(
            number=f"LK-3{n:04}", branch=like.branch, customer=customer, planned_out_at=out_at, charged_days=5,
            planned_back_at=out_at + timedelta(days=5), state="out" if n % 2 else "booked",
        )  # fmt: skip


def asked(client: Client, path: str) -> int:
    with CaptureQueriesContext(connection) as queries:
        assert client.get(path).status_code == 200
    return len(queries)


def test_day_board(as_isla: Client, many: int) -> None:
    assert asked(as_isla, "/branch/inverlark/2026-08-14/") <= MOST
    assert Rental.objects.count() == many + 1


def test_day_board_of_a_later_day(as_isla: Client, many: int) -> None:
    assert asked(as_isla, "/branch/inverlark/2026-08-19/") <= MOST


def test_rental_booked(as_isla: Client, many: int) -> None:
    other = Rental.objects.filter(state="booked").last()
    assert other
    assert asked(as_isla, f"/rental/{other.pk}/") <= MOST


def test_rental_under_way(as_isla: Client, booked: Rental, many: int) -> None:
    assert asked(as_isla, f"/rental/{booked.pk}/") <= MOST


def test_new_booking(as_isla: Client, many: int) -> None:
    assert asked(as_isla, "/branch/inverlark/new-booking/") <= MOST


def test_statement(as_callum: Client, priced: Statement) -> None:
    assert asked(as_callum, f"/rental/{priced.rental_id}/statement/") <= MOST


def test_statement_not_priced(as_callum: Client, back: Rental) -> None:
    assert asked(as_callum, f"/rental/{back.pk}/statement/") <= MOST


def test_rental_with_all_its_papers(as_callum: Client, priced: Statement) -> None:
    assert asked(as_callum, f"/rental/{priced.rental_id}/") <= MOST


def test_record(as_isla: Client, waiting_record: Record) -> None:
    assert asked(as_isla, f"/record/{waiting_record.pk}/") <= MOST


def test_record_lookup(client: Client, waiting_record: Record) -> None:
    assert asked(client, f"/check/{waiting_record.rental.number}/{waiting_record.code}/") <= MOST


def test_me(as_isla: Client) -> None:
    assert asked(as_isla, "/me/") <= MOST


def test_station(as_isla: Client, booked: Rental, many: int) -> None:
    walk = WalkRound.objects.get()
    assert asked(as_isla, f"/walk/{walk.pk}/station/1/") <= MOST


def test_look_through(as_isla: Client, booked: Rental, many: int) -> None:
    walk = WalkRound.objects.get()
    assert asked(as_isla, f"/walk/{walk.pk}/sign/") <= MOST + 2


def test_home_of_many_branches(as_isla: Client, isla: Person, inverlark: Branch) -> None:
    with CaptureQueriesContext(connection) as queries:
        as_isla.get("/")
    assert len(queries) <= MOST
