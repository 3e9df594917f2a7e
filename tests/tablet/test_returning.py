"""A return on a tablet: rest as at pickup, a mark that got worse, and the end that leads to the statement."""

from datetime import timedelta
from typing import Any
from uuid import UUID, uuid5

import pytest
from django.utils import timezone

from handover.rental.models import Rental
from handover.walkround.models import Mark, MarkFinding, WalkRound
from shared.access.models import Device, Person
from tests.playing import go, start
from tests.tablet.conftest import Tablet, asked


@pytest.fixture
def back(booked: Rental, isla: Person, callum: Person) -> WalkRound:
    """Out for two days, with a scratch on the door, and back for an hour."""
    now = timezone.now()
    out = go(booked, isla, at=now - timedelta(days=2), diesel="82", odometer="66300")
    Mark.objects.create(
        unit=out.leg.unit, number=7, station_number=2, kind="scratch", place="door", size_mm=40, x_mm=-1025, y_mm=2600,
        found_at=now - timedelta(days=90), found_by=isla,
    )  # fmt: skip
    return start(booked, "return", callum, at=now - timedelta(hours=1), arrived_at=now - timedelta(hours=1))


@pytest.fixture
def bay(tablet_3: Device, callum: Person) -> Tablet:
    return Tablet(tablet_3, callum)


def worse(tablet: Tablet, walk: WalkRound, **said: Any) -> dict[str, Any]:
    return tablet.says("judge", walk, Mark.objects.get().pk, **{"word": "worse", **said})


def test_a_mark_that_got_worse_needs_its_size(bay: Tablet, back: WalkRound) -> None:
    ack = bay.answer(worse(bay, back))
    assert (ack["status"], ack["field"]) == ("rejected", "size_mm")
    assert bay.told(worse(bay, back, size_mm="90")) == ["ok"]
    assert MarkFinding.objects.get().size_mm == 90


def test_two_sizes_of_one_mark_do_not_agree(bay: Tablet, two: Tablet, back: WalkRound) -> None:
    bay.send(worse(bay, back, size_mm="90"))
    assert two.told(worse(two, back, size_mm="120")) == ["conflict"]
    shown = two.client.get(f"/walk/{back.pk}/station/2/").content.decode()
    assert "worse, 12 cm" in shown.lower()


def test_the_rest_of_a_station_has_ids_that_the_tablet_knows(bay: Tablet, back: WalkRound) -> None:
    entry = bay.says("rest", back)
    assert bay.told(entry) == ["ok"]
    mark = Mark.objects.get()
    assert MarkFinding.objects.get().pk == uuid5(UUID(entry["key"]), str(mark.pk))
    assert bay.told(entry) == ["duplicate"]
    assert MarkFinding.objects.count() == 1


def test_it_ends_and_leads_to_the_statement(bay: Tablet, back: WalkRound) -> None:
    diesel = bay.says("reading", back, asked(back, "diesel"), station=1, typed="60")
    end = bay.says("take-back", back, station=None)
    said = bay.send(diesel, end)
    assert [ack["status"] for ack in said["acks"]] == ["ok", "ok"]
    assert said["ends"] == [{"walk": str(back.pk), "address": f"/rental/{back.leg.rental_id}/statement/"}]
    assert Rental.objects.get().state == "back"
    assert bay.send(end)["ends"] == said["ends"]


def test_what_comes_after_the_end_is_held(bay: Tablet, back: WalkRound) -> None:
    late = bay.says("reading", back, asked(back, "diesel"), station=1, typed="60")
    bay.last = 0
    assert bay.told(bay.says("take-back", back, station=None)) == ["ok"]
    assert bay.told({**late, "seq": 2}) == ["held"]


def test_who_does_no_pickup_ends_none(bay: Tablet, pickup: WalkRound) -> None:
    ack = bay.answer(bay.says("hand-over", pickup, station=None, name_customer="Maren"))
    assert ack["status"] in {"held", "rejected"}
    assert WalkRound.objects.get().finished_at is None
