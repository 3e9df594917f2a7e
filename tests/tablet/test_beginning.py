"""A walk-round begins on a tablet without a network: known before it is there, begun once by whoever begins it."""

from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from fleet.models import CheckItem
from handover.rental.models import Rental
from handover.tablet.models import Receipt
from handover.walkround.actions import walk_id_of
from handover.walkround.models import CheckAnswer, WalkRound
from shared.access.models import Person
from shared.ids import uuid7
from tests.playing import go
from tests.tablet.conftest import Tablet, signed_in


def begin(tablet: Tablet, rental: Rental, kind: str = "pickup", **said: Any) -> dict[str, Any]:
    """As the client sends it: the key is the walk-round's own."""
    leg = rental.legs.get()
    walk_id = walk_id_of(leg, kind)
    parts = {"key": str(walk_id), "station": None, "fields": {"kind": kind, **said}}
    return tablet.says("begin", walk_id, leg.pk, **parts)


def test_it_begins_when_it_began(two: Tablet, booked: Rental, isla: Person) -> None:
    ago = timezone.now() - timedelta(hours=2)
    entry = begin(two, booked) | {"at": ago.isoformat()}
    assert two.told(entry) == ["ok"]
    walk = WalkRound.objects.get()
    assert (str(walk.pk), walk.kind, walk.started_by) == (entry["walk"], "pickup", isla)
    assert abs(walk.started_at - ago) < timedelta(minutes=1)


def test_what_was_answered_after_it_follows_in_one_batch(two: Tablet, booked: Rental) -> None:
    entry = begin(two, booked)
    drain = CheckItem.objects.get(code="drain")
    check = two.says("check", entry["walk"], drain.pk, word="good")
    assert two.told(check, entry) == ["ok", "ok"]
    assert str(CheckAnswer.objects.get().walk_id) == entry["walk"]


def test_what_comes_before_its_beginning_waits_for_it(two: Tablet, booked: Rental) -> None:
    entry = begin(two, booked)
    drain = CheckItem.objects.get(code="drain")
    check = two.says("check", entry["walk"], drain.pk, word="good")
    assert two.told(check) == ["waiting"]
    assert not Receipt.objects.exists()
    assert two.told(entry, check) == ["ok", "ok"]


def test_two_tablets_begin_one(two: Tablet, three: Tablet, booked: Rental) -> None:
    first, second = begin(two, booked), begin(three, booked)
    assert (two.told(first), three.told(second)) == (["ok"], ["ok"])
    assert WalkRound.objects.count() == 1
    assert [tablet.send()["contiguous_seq"] for tablet in (two, three)] == [1, 1]
    assert three.told(second) == ["duplicate"]


def test_a_key_of_its_own_begins_the_same_one(two: Tablet, three: Tablet, booked: Rental) -> None:
    two.send(begin(two, booked))
    assert three.told(begin(three, booked) | {"key": str(uuid7())}) == ["ok"]
    assert WalkRound.objects.count() == 1


def test_begun_on_the_page_meanwhile_it_is_the_same_one(two: Tablet, booked: Rental, ruth: Person) -> None:
    signed_in(ruth).post(f"/rental/{booked.pk}/begin-pickup/", {"key": str(uuid7())})
    entry = begin(two, booked)
    assert str(WalkRound.objects.get().pk) == entry["walk"]
    assert two.told(entry) == ["ok"]


def test_a_return_begins_with_when_it_was_at_the_gate(two: Tablet, booked: Rental, isla: Person) -> None:
    go(booked, isla, at=timezone.now() - timedelta(days=2), diesel="82")
    said = {"arrived_at": f"{timezone.now() - timedelta(days=1):%Y-%m-%dT%H:%M}", "mode": "attended"}
    assert two.told(begin(two, booked, "return", **said)) == ["ok"]
    assert WalkRound.objects.get(kind="return").mode == "attended"


def test_a_return_that_says_no_time_says_so(two: Tablet, booked: Rental, isla: Person) -> None:
    go(booked, isla, diesel="82")
    ack = two.answer(begin(two, booked, "return", mode="attended"))
    assert (ack["status"], ack["field"], ack["sentence"]) == ("rejected", "arrived_at", "Say when it was at the gate.")


def test_what_cannot_begin_says_why(two: Tablet, booked: Rental) -> None:
    Rental.objects.update(state="cancelled")
    ack = two.answer(begin(two, booked))
    assert ack["status"] == "rejected"
    assert "no pickup can begin now" in ack["sentence"]


@pytest.mark.parametrize(
    "wrong", [{"walk": "01990000-0000-7000-8000-00000000000a"}, {"item": None}, {"fields": {"kind": "lunch"}}], ids=str
)
def test_what_names_no_walk_round_begins_none(wrong: Any, two: Tablet, booked: Rental) -> None:
    assert two.told(begin(two, booked) | wrong) == ["held"]
    assert not WalkRound.objects.exists()


def test_of_another_branch_nothing_begins(two: Tablet, booked: Rental, ida: Person) -> None:
    tablet = Tablet(two.device, ida)
    assert tablet.told(begin(tablet, booked)) == ["held"]
