"""When a walk-round may begin, and what it begins with."""

from datetime import date, timedelta
from uuid import uuid5

import pytest
from django.http import Http404

from fleet.models import CheckItem, DueDate, Instrument
from handover.acting import CannotBe
from handover.rental.models import Rental
from handover.walkround import actions
from handover.walkround.models import WalkRound
from shared.access.scope import NotAllowed
from shared.ledger.models import Entry
from tests.factories import BACK_AT, NINE, OUT_AT, RentalFactory, an_act
from tests.playing import come_back, start


def test_a_pickup_copies_what_is_asked(isla, booked):
    walk = start(booked, "pickup", isla)
    Instrument.objects.filter(code="diesel").update(capacity=60)
    CheckItem.objects.all().update(text="Changed since")
    filler = WalkRound.objects.get(pk=walk.pk).sheet.data.stations[0]
    assert (filler.instruments[0].capacity, filler.checks[0].text) == (90, "Cap and flap")


def test_the_rental_is_under_way_and_the_ledger_says_so(isla, booked):
    walk = start(booked, "pickup", isla)
    booked.refresh_from_db()
    assert booked.state == Rental.State.PICKUP
    assert Entry.objects.get(kind="pickup.started").subject == walk.pk


def test_begun_twice_with_one_key_is_one(isla, booked):
    act = an_act(isla)
    walks = {actions.start_walk(booked.legs.get(), kind=WalkRound.Kind.PICKUP, act=act).pk for _ in range(2)}
    assert walks == {uuid5(booked.legs.get().pk, "pickup")}


def test_another_key_finds_it_begun(isla, booked):
    start(booked, "pickup", isla)
    booked.refresh_from_db()
    with pytest.raises(CannotBe, match="pickup under way: no pickup can begin now"):
        start(booked, "pickup", isla)


def test_no_return_before_the_pickup(callum, booked):
    with pytest.raises(CannotBe, match="is booked: no return can begin now"):
        start(booked, "return", callum)


def test_it_cannot_be_back_before_it_left(callum, away):
    with pytest.raises(CannotBe, match="It left on 14 Aug 09:00; it cannot be back before that") as refused:
        start(away, "return", callum, at=BACK_AT, arrived_at=NINE - timedelta(minutes=1))
    assert refused.value.field == "arrived_at"


def test_the_minute_it_left_in_is_not_before_it_left(callum, away):
    left = NINE + timedelta(seconds=40)
    away.legs.update(started_at=left)
    assert start(away, "return", callum, at=BACK_AT, arrived_at=NINE).arrived_at == left


@pytest.mark.parametrize(("due", "stays"), [(date(2026, 8, 18), True), (date(2026, 8, 19), False)])
def test_what_is_due_before_the_return_keeps_the_unit(isla, booked, unit_407, due, stays):
    DueDate.objects.create(unit=unit_407, kind="gas", due_on=due)
    if not stays:
        assert start(booked, "pickup", isla)
        return
    with pytest.raises(CannotBe, match="Unit 407 stays: gas inspection is due on 18 Aug 2026"):
        start(booked, "pickup", isla)


def test_a_unit_that_is_still_out_goes_to_nobody_else(isla, away, unit_407):
    later = RentalFactory(
        leg=unit_407, planned_out_at=OUT_AT + timedelta(days=9), planned_back_at=BACK_AT + timedelta(days=9)
    )
    with pytest.raises(CannotBe, match=f"Unit 407 is still out for {away.number}. Take it back first."):
        start(later, "pickup", isla)


def test_the_last_return_stands_beside_the_next_pickup(isla, callum, away, unit_407):
    last = come_back(away, callum, diesel="47.5", odometer="66900")
    later = RentalFactory(
        leg=unit_407, planned_out_at=OUT_AT + timedelta(days=9), planned_back_at=BACK_AT + timedelta(days=9)
    )
    assert start(later, "pickup", isla, at=OUT_AT + timedelta(days=9)).before == last


def test_a_return_stands_beside_its_pickup_and_asks_the_same(back):
    assert back.before.kind == "pickup"
    assert back.sheet == back.before.sheet


def test_the_return_bay_begins_no_pickup(callum, booked):
    with pytest.raises(NotAllowed, match="A return bay cannot do this"):
        start(booked, "pickup", callum)


def test_a_rental_of_another_branch_is_not_there(ida, booked):
    with pytest.raises(Http404):
        start(booked, "pickup", ida)
