"""A reading of a pickup comes back as its row alone, as its station would bring it; where more changes, that comes."""

import re
from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from handover.rental.models import Rental
from handover.walkround.models import WalkRound
from shared.access.models import Device, Person
from tests.playing import go, start
from tests.tablet.conftest import Tablet, asked

pytestmark = pytest.mark.django_db
PER_PAGE = re.compile(r'name="(?:key|shown_at)" value="[^"]*"')
# What a tablet counts and draws by itself after every answer.
OWN = "|".join((
    r'<p class="tally".*?</p>', r'<svg class="plan".*?</svg>', r'<span [^>]*id="n-.*?</span>',
    r'<span [^>]*id="still-open".*?</span>',
))  # fmt: skip


@pytest.fixture
def taking(isla: Person, tablet_2: Device) -> Tablet:
    return Tablet(tablet_2, isla, mirrors=True, takes_rows=True)


def station(tablet: Tablet, walk: WalkRound, number: int) -> str:
    rows = tablet.client.get(f"/tablet/walk/{walk.pk}/").json()["stations"]
    return next(bare(row["html"]) for row in rows if row["number"] == number)


def bare(html: str) -> str:
    return " ".join(PER_PAGE.sub("", html).split())


def read(tablet: Tablet, walk: WalkRound, code: str, typed: str) -> Any:
    answer = tablet.send(tablet.says("reading", walk, asked(walk, code), station=1, typed=typed))
    assert [ack["status"] for ack in answer["acks"]] == ["ok"]
    return answer


@pytest.mark.parametrize("typed", ["82", "41", "3"])
def test_the_row_is_the_one_that_its_station_would_bring(taking: Tablet, pickup: WalkRound, typed: str) -> None:
    answer = read(taking, pickup, "diesel", typed)
    (row,) = answer["rows"]
    assert answer["stations"] == []
    assert row["key"] == answer["acks"][0]["key"]
    assert bare(row["html"]) in station(taking, pickup, 1)


def test_nothing_else_of_the_station_changed(taking: Tablet, pickup: WalkRound) -> None:
    def around(html: str) -> str:
        above, _, rest = html.partition(f'id="reading-{asked(pickup, "diesel")}"')
        return re.sub(OWN, "", above + rest.partition(f'id="reading-{asked(pickup, "odometer")}"')[2])

    before = around(station(taking, pickup, 1))
    read(taking, pickup, "diesel", "41")
    assert around(station(taking, pickup, 1)) == before


def test_older_pages_of_a_tablet_get_the_station(two: Tablet, pickup: WalkRound) -> None:
    answer = read(two, pickup, "diesel", "82")
    assert (answer["rows"], [row["number"] for row in answer["stations"]]) == ([], [1])


def test_a_station_that_comes_back_brings_its_rows(taking: Tablet, pickup: WalkRound) -> None:
    diesel = taking.says("reading", pickup, asked(pickup, "diesel"), station=1, typed="82")
    short = taking.says("count", pickup, asked(pickup, "straps"), station=1, present="1")
    answer = taking.send(diesel, short)
    assert (answer["rows"], [row["number"] for row in answer["stations"]]) == ([], [1])


def test_at_a_return_the_station_comes_back(taking: Tablet, booked: Rental, isla: Person, callum: Person) -> None:
    now = timezone.now()
    go(booked, isla, at=now - timedelta(days=2), diesel="82", odometer="66300")
    back = start(booked, "return", callum, at=now - timedelta(hours=1), arrived_at=now - timedelta(hours=1))
    answer = read(taking, back, "diesel", "60")
    assert (answer["rows"], [row["number"] for row in answer["stations"]]) == ([], [1])


def test_what_stops_the_unit_brings_its_station(taking: Tablet, pickup: WalkRound) -> None:
    answer = taking.send(taking.says("reading", pickup, asked(pickup, "gas_front"), typed="19"))
    assert (answer["rows"], [row["number"] for row in answer["stations"]]) == ([], [2])


def test_a_row_that_is_not_at_that_station_is_not_drawn(taking: Tablet, pickup: WalkRound) -> None:
    answer = taking.send(taking.says("reading", pickup, asked(pickup, "diesel"), station=2, typed="82"))
    assert (answer["rows"], answer["stations"]) == ([], [])
