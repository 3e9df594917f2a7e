"""What keeps a unit here beyond a failed check: a tyre, a cylinder, a kit, the load; and how each lets go."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from fleet.models import Layout, Unit, UnitKit
from handover.acting import CannotBe
from handover.cabcard.actions import PartySaid, plan_party
from handover.rental.models import Rental
from handover.walkround import actions
from handover.walkround.document import found_on, walk_document
from handover.walkround.models import Hold, WalkRound
from shared.access.models import Person
from shared.access.scope import NotAllowed
from shared.ledger.models import Entry
from tests.factories import BACK_AT, NINE, InstrumentFactory, an_act
from tests.playing import go, item, read, sign, start

LATER = NINE + timedelta(minutes=5)
KIT_ENDS = date(2026, 8, 17)


@pytest.fixture
def tread(unit_407: Unit) -> None:
    InstrumentFactory(
        station=unit_407.layout.stations.get(number=1), code="tread", name="Tread, rear", instrument="depth gauge",
        measures="tread", unit="mm", capacity=Decimal(9), resolution=Decimal("0.1"), half_width=Decimal("0.2"),
    )  # fmt: skip


def the_hold() -> Hold:
    hold: Hold = Hold.objects.get()
    return hold


def finish_at(walk: WalkRound, by: Person) -> None:
    sign(walk, by, LATER)
    actions.finish(walk, act=an_act(by, at=LATER))


@pytest.mark.parametrize(("typed", "said"), [("1.4", "is below the legal 1.6 mm"), ("1.7", "the gauge cannot tell")])
def test_a_worn_tyre_holds_by_the_law_of_the_country(
    tread: None, pickup: WalkRound, isla: Person, typed: str, said: str
) -> None:
    read(pickup, isla, NINE, tread=typed)
    hold = the_hold()
    assert (hold.cause, hold.subject, hold.reading and hold.reading.typed) == ("tread", item(pickup, "tread").id, typed)
    assert said in hold.sentence
    assert "Regulations 1986, reg. 27. The handbook and a tyre trade come first." in hold.sentence


@pytest.mark.parametrize("typed", ["1.8", "6.5"])
def test_a_legal_tyre_holds_nothing(tread: None, pickup: WalkRound, isla: Person, typed: str) -> None:
    read(pickup, isla, NINE, tread=typed)
    assert not Hold.objects.exists()


@pytest.mark.parametrize(("mass", "country", "is_held"), [(4250, "GB", False), (4250, "CA", True), (9000, "CA", True)])
def test_mass_and_country_decide(
    tread: None, booked: Rental, isla: Person, mass: int, country: str, is_held: bool
) -> None:  # fmt: skip
    Layout.objects.update(max_mass_kg=mass)
    booked.branch.country = country
    booked.branch.save()
    walk = start(booked, "pickup", isla)
    read(walk, isla, NINE, tread="1.5")
    assert Hold.objects.exists() is is_held


def test_where_the_law_tells_the_axles_apart_the_deeper_limit_counts(tread: None, booked: Rental, isla: Person) -> None:
    Layout.objects.update(max_mass_kg=9000)
    booked.branch.country = "US"
    walk = start(booked, "pickup", isla)
    walk.leg.rental.branch.country = "US"
    read(walk, isla, NINE, tread="3.0")
    assert "below the legal 3.2 mm" in the_hold().sentence


def test_a_new_tyre_puts_it_right(tread: None, pickup: WalkRound, isla: Person) -> None:
    read(pickup, isla, NINE, tread="1.4")
    read(pickup, isla, LATER, tread="8.0")
    hold = the_hold()
    assert (hold.put_right, hold.released_by, hold.reason) == (True, isla, "Read again: 8.0 mm.")


def test_an_older_good_reading_that_comes_late_releases_nothing(tread: None, pickup: WalkRound, isla: Person) -> None:
    read(pickup, isla, LATER, tread="1.4")
    read(pickup, isla, NINE, tread="8.0")
    assert the_hold().released_at is None


def test_not_read_again_leaves_it_held(tread: None, pickup: WalkRound, isla: Person) -> None:
    read(pickup, isla, NINE, tread="1.4")
    ask = item(pickup, "tread")
    actions.take_reading(pickup, item=ask.id, typed="", state="not_read", act=an_act(isla, at=LATER))
    assert the_hold().released_at is None


def test_read_worse_says_how_it_is_now(tread: None, pickup: WalkRound, isla: Person) -> None:
    read(pickup, isla, NINE, tread="1.7")
    read(pickup, isla, LATER, tread="1.2")
    assert the_hold().sentence.startswith("Tread, rear: 1.2 mm is below")


def test_a_worn_tyre_at_the_return_holds_nothing(tread: None, booked: Rental, isla: Person) -> None:
    go(booked, isla, tread="1.8")
    walk = start(booked, "return", isla, at=BACK_AT, arrived_at=BACK_AT)
    read(walk, isla, BACK_AT, tread="1.5")
    assert not Hold.objects.exists()


@pytest.mark.parametrize(("gross", "is_held"), [("11.9", False), ("12.0", False), ("12.1", True), ("12.2", True)])
def test_a_cylinder_too_full_beyond_doubt_holds(pickup: WalkRound, isla: Person, gross: str, is_held: bool) -> None:
    read(pickup, isla, NINE, gas_front=gross)
    assert Hold.objects.filter(cause="gas").exists() is is_held


def test_the_cylinder_names_figures_and_who_lets_it_down(pickup: WalkRound, isla: Person) -> None:
    read(pickup, isla, NINE, gas_front="12.2")
    assert "holds 6.3 kg by the scale, more than the 6 kg stamped on it" in the_hold().sentence
    assert "A licensed gas trade lets it down" in the_hold().sentence


def test_far_too_full_is_no_slip_of_the_pen_alone(pickup: WalkRound, isla: Person) -> None:
    with pytest.raises(CannotBe, match="If it does weigh that it is overfilled and stays here"):
        read(pickup, isla, NINE, gas_front="12.8")


def test_a_kit_that_expires_on_the_trip_holds_from_the_begin(booked: Rental, isla: Person) -> None:
    UnitKit.objects.update(expires_on=KIT_ENDS)
    walk = start(booked, "pickup", isla)
    hold = the_hold()
    assert (hold.cause, hold.subject) == ("kit", item(walk, "first_aid").id)
    assert hold.sentence.startswith("First aid kit: Is due on 17 Aug 2026, before the return on 18 Aug 2026.")
    assert Entry.objects.get(kind="unit.held").payload


def test_a_renewed_kit_lets_go_when_its_seal_is_checked(booked: Rental, isla: Person) -> None:
    UnitKit.objects.update(expires_on=KIT_ENDS)
    walk = start(booked, "pickup", isla)
    UnitKit.objects.update(expires_on=date(2028, 1, 1))
    actions.check_seal(walk, item=item(walk, "first_aid").id, state="whole", act=an_act(isla, at=LATER))
    assert (the_hold().put_right, the_hold().reason) == (True, "Good until 2028-01-01.")


@pytest.mark.parametrize("ends", [None, date(2026, 8, 19)])
def test_a_kit_good_for_the_trip_holds_nothing(booked: Rental, isla: Person, ends: date | None) -> None:
    UnitKit.objects.update(expires_on=ends)
    start(booked, "pickup", isla)
    assert not Hold.objects.exists()


def a_party(rental: Rental, by: Person, people: int) -> None:
    said = PartySaid(people=people, habit="usual", drive_h=Decimal(1))
    plan_party(rental=rental, said=said, act=an_act(by, at=LATER))


def test_an_overload_with_the_planned_party_holds_from_the_begin(booked: Rental, isla: Person) -> None:
    Layout.objects.update(running_mass_kg=3300)
    a_party(booked, isla, 4)
    walk = start(booked, "pickup", isla)
    hold = the_hold()
    assert (hold.cause, hold.subject) == ("load", walk.leg_id)
    assert hold.sentence.startswith("Overloaded on paper by 25 kg with 4 people")
    assert "a weighbridge tells" in hold.sentence


def test_a_smaller_party_puts_the_load_right_and_a_larger_one_holds_again(booked: Rental, isla: Person) -> None:
    Layout.objects.update(running_mass_kg=3300)
    start(booked, "pickup", isla)
    assert not Hold.objects.exists()
    a_party(booked, isla, 4)
    a_party(booked, isla, 3)
    assert the_hold().put_right
    a_party(booked, isla, 4)
    assert Hold.objects.filter(released_at=None).count() == 1


def test_what_was_released_for_these_figures_stays_released(booked: Rental, isla: Person, ruth: Person) -> None:
    Layout.objects.update(running_mass_kg=3300)
    a_party(booked, isla, 4)
    walk = start(booked, "pickup", isla)
    actions.release(the_hold(), reason="Weighed: 3440 kg.", act=an_act(ruth))
    a_party(booked, isla, 4)
    assert not walk.holds.filter(released_at=None).exists()
    a_party(booked, isla, 5)
    assert walk.holds.filter(released_at=None).count() == 1


def test_the_keys_stay_until_it_is_released_by_who_may(
    tread: None, pickup: WalkRound, isla: Person, ruth: Person
) -> None:
    read(pickup, isla, NINE, tread="1.4")
    actions.hear_topic(pickup, item=item(pickup, "Gas valves").id, outcome="understood", act=an_act(isla))
    with pytest.raises(CannotBe, match=r"below the legal 1\.6 mm.*A manager can release it, with a reason"):
        finish_at(pickup, isla)
    with pytest.raises(NotAllowed):
        actions.release(the_hold(), reason="I think so.", act=an_act(isla))
    actions.release(the_hold(), reason="Goes to the tyre trade next door first.", act=an_act(ruth))
    finish_at(pickup, isla)


def test_the_document_says_what_held_and_why_it_went(
    tread: None, pickup: WalkRound, isla: Person, ruth: Person
) -> None:
    read(pickup, isla, NINE, tread="1.4")
    actions.release(the_hold(), reason="New tyre on the way.", act=an_act(ruth))
    stations = walk_document(found_on(pickup))["stations"]
    hold = next(row["hold"] for row in stations[0]["readings"] if row["code"] == "tread")
    assert (hold["released_by"], hold["reason"]) == ("Ruth Aldane", "New tyre on the way.")


def test_the_document_has_the_kit_and_the_load(booked: Rental, isla: Person) -> None:
    UnitKit.objects.update(expires_on=KIT_ENDS)
    Layout.objects.update(running_mass_kg=3450)
    document = walk_document(found_on(start(booked, "pickup", isla)))
    assert document["stations"][1]["seals"][0]["hold"]["sentence"].startswith("First aid kit: Is due on 17 Aug 2026")
    assert document["overload"]["sentence"].startswith("Overloaded on paper by 25 kg with 2 people")


@pytest.mark.parametrize("cause", ["check", "tread", "gas", "kit", "load"])
def test_a_hold_names_exactly_one_cause(pickup: WalkRound, isla: Person, cause: str) -> None:
    read(pickup, isla, NINE, diesel="82")
    given = {} if cause in {"check", "tread", "gas"} else {"reading": pickup.readings.get()}
    with pytest.raises(IntegrityError, match="held_by_exactly_one_cause"), transaction.atomic():
        Hold.objects.create(walk=pickup, cause=cause, subject=pickup.pk, sentence="Held.", **given)
