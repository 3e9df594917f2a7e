"""How a unit came back: attended, by a key drop with what is known of it, or brought and left."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.test import Client

from handover.acting import CannotBe
from handover.rental.models import Rental
from handover.walkround.arrival import KeyDrop, check_plate
from handover.walkround.models import WalkRound
from shared.access.models import Person
from shared.ids import uuid7
from shared.ledger.models import Entry
from tests.playing import go, start

SUNDAY_NIGHT = datetime(2026, 8, 16, 20, 30, tzinfo=UTC)
MONDAY_MORNING = datetime(2026, 8, 17, 7, 5, tzinfo=UTC)
NOW = datetime(2026, 8, 17, 8, 0, tzinfo=UTC)
FOUND = KeyDrop(MONDAY_MORNING, "Callum Reid")


@pytest.fixture
def out(booked: Rental, isla: Person) -> Rental:
    go(booked, isla, diesel="82", gas_front="11.7", odometer="66300")
    return booked


def begin(rental: Rental, by: Person, **said: Any) -> WalkRound:
    return start(rental, "return", by, at=NOW, **{"mode": "key_drop", "arrived_at": SUNDAY_NIGHT, **said})


def test_who_found_the_keys_and_when_is_kept(out: Rental, callum: Person) -> None:
    walk = begin(out, callum, drop=FOUND)
    walk.refresh_from_db()
    assert (walk.mode, walk.keys_found_by, walk.keys_found_at) == ("key_drop", "Callum Reid", MONDAY_MORNING)
    assert (walk.arrived_at, walk.arrived_until) == (SUNDAY_NIGHT, None)


def test_where_nobody_saw_it_the_earliest_counts_and_both_are_kept(out: Rental, callum: Person) -> None:
    drop = KeyDrop(MONDAY_MORNING, "Callum Reid", until=MONDAY_MORNING)
    walk = begin(out, callum, drop=drop)
    assert (walk.arrived_at, walk.arrived_until) == (SUNDAY_NIGHT, MONDAY_MORNING)


def test_the_ledger_tells_it_without_the_name(out: Rental, callum: Person) -> None:
    begin(out, callum, drop=FOUND)
    payload = Entry.objects.get(kind="return.started").payload
    assert '"keys_found_at":"2026-08-17T07:05:00+00:00"' in payload
    assert "Callum" not in payload


def test_attended_says_nothing_of_keys(out: Rental, callum: Person) -> None:
    begin(out, callum, mode="attended")
    assert "keys" not in Entry.objects.get(kind="return.started").payload


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"drop": None}, "keys_found_by"),
        ({"drop": KeyDrop(MONDAY_MORNING, "  ")}, "keys_found_by"),
        ({"drop": KeyDrop(MONDAY_MORNING, "x" * 121)}, "keys_found_by"),
        ({"drop": KeyDrop(NOW + timedelta(minutes=1), "Callum")}, "keys_found_at"),
        ({"drop": KeyDrop(SUNDAY_NIGHT - timedelta(minutes=1), "Callum")}, "arrived_at"),
        ({"drop": KeyDrop(MONDAY_MORNING, "Callum", until=NOW)}, "arrived_until"),
        ({"drop": KeyDrop(MONDAY_MORNING, "Callum", until=SUNDAY_NIGHT - timedelta(hours=1))}, "arrived_until"),
        ({"mode": "absent", "drop": FOUND}, "mode"),
        ({"mode": "teleported"}, "mode"),
    ],
)
def test_what_cannot_be(out: Rental, callum: Person, said: dict[str, Any], field: str) -> None:
    with pytest.raises(CannotBe) as problem:
        begin(out, callum, **said)
    assert problem.value.field == field
    assert not WalkRound.objects.filter(kind="return").exists()


@pytest.mark.parametrize("typed", ["", "  ", "LRK 407", "lrk407", "LRK-407"])
def test_its_plate_however_it_is_written(unit_407: Any, typed: str) -> None:
    check_plate(unit_407, typed)


def test_the_plate_of_another_vehicle(out: Rental, callum: Person) -> None:
    with pytest.raises(CannotBe, match="LRK 512 is not the plate of unit 407: that is LRK 407") as problem:
        begin(out, callum, drop=FOUND, plate="LRK 512")
    assert problem.value.field == "plate"


def test_the_plate_that_was_seen_is_told(booked: Rental, isla: Person) -> None:
    start(booked, "pickup", isla, plate="lrk407")
    assert '"plate_seen":"lrk407"' in Entry.objects.get(kind="pickup.started").payload


@pytest.fixture
def begins(out: Rental, callum: Person, client: Client) -> Callable[..., Any]:
    client.force_login(callum)

    def post(**said: str) -> Any:
        form = {"key": uuid7(), "arrived_at": "2026-08-16T21:30", "mode": "key_drop", **said}
        return client.post(f"/rental/{out.pk}/begin-return/", form)

    return post


def test_the_page_says_what_each_way_means(out: Rental, callum: Person, client: Client) -> None:
    client.force_login(callum)
    text = client.get(f"/rental/{out.pk}/").text
    for sentence in ("They walk round with you", "The keys lay in the box.", "They brought it and left"):
        assert sentence in text


def test_a_key_drop_from_the_page(begins: Callable[..., Any]) -> None:
    begins(keys_found_at="2026-08-17T08:05", keys_found_by="Callum", arrived_until="2026-08-17T08:00")
    walk = WalkRound.objects.get(kind="return")
    assert f"{walk.arrived_at:%d %H:%M} {walk.arrived_until:%d %H:%M}" == "16 20:30 17 07:00"


def test_a_key_drop_without_its_finder_is_asked_for_him(begins: Callable[..., Any]) -> None:
    answer = begins(keys_found_at="2026-08-17T08:05")
    assert answer.status_code == 422
    assert "Say who found the keys" in answer.text


def test_keys_left_in_the_form_of_an_attended_return_do_no_harm(begins: Callable[..., Any]) -> None:
    begins(mode="attended", keys_found_at="2026-08-17T08:05", keys_found_by="")
    assert WalkRound.objects.get(kind="return").keys_found_by == ""


def test_another_plate_is_said_at_its_field(begins: Callable[..., Any]) -> None:
    answer = begins(mode="attended", plate="LRK 512")
    assert answer.status_code == 422
    assert 'value="LRK 512"' in answer.text


def test_another_plate_at_the_pickup(booked: Rental, as_isla: Client) -> None:
    answer = as_isla.post(f"/rental/{booked.pk}/begin-pickup/", {"key": uuid7(), "plate": "LRK 512"})
    assert answer.status_code == 422
    assert "is not the plate of unit 407" in answer.text
