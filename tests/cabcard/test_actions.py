"""Planning the party and the nights: kept, kept once, refused with a sentence."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.http import Http404

from handover.acting import CannotBe
from handover.cabcard.actions import NightSaid, PartySaid, plan_nights, plan_party
from handover.cabcard.models import PlannedNight, PlannedParty
from handover.cabcard.queries import nights_of
from handover.rental.models import Rental
from shared.access.models import Person
from shared.access.scope import NotAllowed
from shared.ids import uuid7
from shared.ledger.models import Entry
from tests.cabcard.conftest import TWO, a_night
from tests.factories import NINE, an_act

pytestmark = pytest.mark.django_db
LATER = NINE + timedelta(minutes=1)


def entries(rental: Rental, kind: str) -> int:
    return Entry.objects.filter(chain=rental.pk, kind=kind).count()


def test_a_party_is_kept_with_its_entry(trip: Rental, isla: Person) -> None:
    row = plan_party(rental=trip, said=PartySaid(4, "usual", Decimal("1.5")), act=an_act(isla))
    assert (row.people, row.habit, row.drive_h, row.by) == (4, "usual", Decimal("1.5"), isla)
    assert entries(trip, "trip.party_planned") == 1


def test_of_several_parties_the_last_counts(trip: Rental, isla: Person) -> None:
    plan_party(rental=trip, said=TWO, act=an_act(isla))
    plan_party(rental=trip, said=PartySaid(3, "usual", Decimal(1)), act=an_act(isla, at=LATER))
    latest = trip.plannedparty_rows.last()
    assert latest is not None
    assert latest.people == 3
    assert PlannedParty.objects.count() == 2


def test_a_replay_keeps_nothing_twice(trip: Rental, isla: Person) -> None:
    act, again = an_act(isla), an_act(isla)
    assert plan_party(rental=trip, said=TWO, act=act) == plan_party(rental=trip, said=TWO, act=act)
    for _ in range(2):
        plan_nights(rental=trip, nights=(a_night(trip, 0),), act=again)
    assert (PlannedParty.objects.count(), PlannedNight.objects.count()) == (1, 1)


@pytest.mark.parametrize("people", [0, 13])
def test_a_party_that_cannot_be(trip: Rental, isla: Person, people: int) -> None:
    with pytest.raises(CannotBe, match="A party has 1 to 12 people") as refused:
        plan_party(rental=trip, said=PartySaid(people, "usual", Decimal(1)), act=an_act(isla))
    assert refused.value.field == "people"


def test_nights_are_one_entry(trip: Rental, isla: Person) -> None:
    rows = plan_nights(rental=trip, nights=(a_night(trip, 0), a_night(trip, 1)), act=an_act(isla))
    assert [row.night for row in rows] == [date(2026, 8, 14), date(2026, 8, 15)]
    assert entries(trip, "trip.nights_planned") == 1


def test_only_what_changed_is_kept(trip: Rental, isla: Person) -> None:
    plan_nights(rental=trip, nights=(a_night(trip, 0), a_night(trip, 1)), act=an_act(isla))
    changed = plan_nights(rental=trip, nights=(a_night(trip, 0), a_night(trip, 1, "Mill")), act=an_act(isla, at=LATER))
    assert [row.name for row in changed] == ["Mill"]
    assert plan_nights(rental=trip, nights=(a_night(trip, 0),), act=an_act(isla)) == []
    assert entries(trip, "trip.nights_planned") == 2


def test_a_place_can_be_left_open_again(trip: Rental, isla: Person) -> None:
    plan_nights(rental=trip, nights=(a_night(trip, 0),), act=an_act(isla))
    plan_nights(rental=trip, nights=(NightSaid(date(2026, 8, 14)),), act=an_act(isla, at=LATER))
    assert nights_of(trip)[date(2026, 8, 14)].name == ""


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"longitude": None}, "needs both degrees"),
        ({"latitude": Decimal("90.5")}, "Degrees north go from −90 to 90"),
        ({"longitude": Decimal(-181)}, "Degrees east go from −180 to 180"),
        ({"name": ""}, "Give the place a name"),
        ({"name": "x" * 61}, "There is room for 60 letters"),
    ],
)
def test_a_place_that_cannot_be(trip: Rental, isla: Person, said: dict[str, Any], sentence: str) -> None:
    with pytest.raises(CannotBe, match=sentence):
        plan_nights(rental=trip, nights=(a_night(trip, 0, **said),), act=an_act(isla))
    assert not PlannedNight.objects.exists()


@pytest.mark.parametrize("day", [date(2026, 8, 13), date(2026, 8, 18)])
def test_a_day_outside_the_rental_is_no_night_of_it(trip: Rental, isla: Person, day: date) -> None:
    with pytest.raises(CannotBe, match="is no night of this rental") as refused:
        plan_nights(rental=trip, nights=(NightSaid(day, "Quay"),), act=an_act(isla))
    assert refused.value.field == f"{day}-place"


@pytest.mark.parametrize("state", ["back", "settled", "cancelled"])
def test_what_is_over_is_not_planned(trip: Rental, isla: Person, state: str) -> None:
    Rental.objects.filter(pk=trip.pk).update(state=state)
    with pytest.raises(CannotBe, match="is over: there is no night left to plan"):
        plan_party(rental=trip, said=TWO, act=an_act(isla))
    with pytest.raises(CannotBe, match="is over"):
        plan_nights(rental=trip, nights=(), act=an_act(isla))


def test_it_takes_the_right_to_book(trip: Rental, callum: Person) -> None:
    with pytest.raises(NotAllowed):
        plan_party(rental=trip, said=TWO, act=an_act(callum))
    with pytest.raises(NotAllowed):
        plan_nights(rental=trip, nights=(), act=an_act(callum))


def test_another_branchs_rental_is_not_there(trip: Rental, ida: Person) -> None:
    with pytest.raises(Http404):
        plan_party(rental=trip, said=TWO, act=an_act(ida))


def test_a_key_of_another_act_is_refused(trip: Rental, isla: Person) -> None:
    key = uuid7()
    plan_party(rental=trip, said=TWO, act=an_act(isla, key=key))
    with pytest.raises(CannotBe, match="already sent as something else"):
        plan_nights(rental=trip, nights=(a_night(trip, 0),), act=an_act(isla, key=key))
