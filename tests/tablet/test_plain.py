"""A tablet that shows its plain answers by itself gets no station back for them; for every other it does."""

from typing import Any

import pytest
from django.utils import timezone

from handover.rental.models import Rental
from handover.walkround.models import WalkRound
from shared.access.models import Device, Person
from tests.photos.pictures import quarters, saved
from tests.playing import go, start
from tests.tablet.conftest import Tablet, asked, signed_in
from tests.tablet.test_uploads import photo, put

pytestmark = pytest.mark.django_db


@pytest.fixture
def mirroring(isla: Person, tablet_2: Device) -> Tablet:
    return Tablet(tablet_2, isla, mirrors=True)


def numbers(answer: Any) -> list[int]:
    assert {ack["status"] for ack in answer["acks"]} == {"ok"}
    return [row["number"] for row in answer["stations"]]


@pytest.mark.parametrize(
    ("kind", "code", "said"),
    [
        ("check", "Floor drain clear", {"word": "good"}),
        ("count", "straps", {"present": "2"}),
        ("seal", "first_aid", {"state": "whole", "seal_number": "93412"}),
        ("topic", "Gas valves", {"outcome": "understood", "seconds": "20"}),
    ],
)
def test_plain(mirroring: Tablet, pickup: WalkRound, kind: str, code: str, said: dict[str, str]) -> None:
    entry = mirroring.says(kind, pickup, asked(pickup, code), fields=said)
    assert numbers(mirroring.send(entry)) == []


@pytest.mark.parametrize(
    ("kind", "code", "said"),
    [
        ("check", "Floor drain clear", {"word": "bad"}),
        ("check", "Floor drain clear", {"word": "good", "note": "stiff"}),
        ("check", "Floor drain clear", {"word": "not_inspected"}),
        ("count", "straps", {"present": "1"}),
        ("seal", "first_aid", {"state": "broken"}),
        ("seal", "first_aid", {"state": "whole", "seal_number": "11111"}),
        ("reading", "diesel", {"typed": "82"}),
        ("topic", "Gas valves", {"outcome": "declined", "seconds": "20"}),
    ],
)
def test_with_more_to_say(mirroring: Tablet, pickup: WalkRound, kind: str, code: str, said: dict[str, str]) -> None:
    entry = mirroring.says(kind, pickup, asked(pickup, code), fields=said)
    assert numbers(mirroring.send(entry)) == [2]


def test_one_that_says_more_brings_the_station_for_all(mirroring: Tablet, pickup: WalkRound) -> None:
    good = mirroring.says("check", pickup, asked(pickup, "Floor drain clear"), word="good")
    short = mirroring.says("count", pickup, asked(pickup, "straps"), present="1")
    (row,) = mirroring.send(good, short)["stations"]
    assert f'data-answer="{good["key"]}"' in row["html"]


def test_what_was_sent_before_comes_back(mirroring: Tablet, pickup: WalkRound) -> None:
    """It may have been told otherwise since."""
    entry = mirroring.says("check", pickup, asked(pickup, "Floor drain clear"), word="good")
    mirroring.send(entry)
    (row,) = mirroring.send(entry)["stations"]
    assert row["number"] == 2


@pytest.mark.parametrize(("kind", "back"), [("pickup", []), ("return", [2])])
def test_a_photo_is_plain_until_it_stands_beside_another(
    mirroring: Tablet, booked: Rental, isla: Person, kind: str, back: list[int]
) -> None:
    walk = go(booked, isla, diesel="82", odometer="66310", gas_front="11.7") if kind == "return" else None
    walk = start(booked, kind, isla, arrived_at=timezone.now()) if walk else start(booked, kind, isla)
    picture = saved(quarters(), "JPEG")
    entry = photo(mirroring, walk, picture)
    put(mirroring.client, entry["key"], picture, 0, len(picture))
    assert numbers(mirroring.send(entry)) == back


def test_an_older_page_of_the_tablet_gets_each_back(two: Tablet, pickup: WalkRound) -> None:
    entry = two.says("check", pickup, asked(pickup, "Floor drain clear"), word="good")
    assert numbers(two.send(entry)) == [2]


def test_another_tablet_sees_it(mirroring: Tablet, pickup: WalkRound, ruth: Person) -> None:
    entry = mirroring.says("check", pickup, asked(pickup, "Floor drain clear"), word="good")
    mirroring.send(entry)
    stations = signed_in(ruth).get(f"/tablet/walk/{pickup.pk}/").json()["stations"]
    assert f'data-answer="{entry["key"]}"' in stations[1]["html"]
