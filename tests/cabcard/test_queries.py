"""Whose card it is: of the unit in use, for the nights as they are agreed, with places that are known."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from fleet.models import Branch
from handover.cabcard.actions import NightSaid, plan_nights
from handover.cabcard.queries import days_of, nights_of, party_of, stops_of
from handover.demo.nights import PLANS, plan_demo_trips
from handover.rental.models import Driver, Leg, Rental
from shared.access.models import Person
from tests.cabcard.conftest import a_night, facts_of, page_of
from tests.factories import NINE, UnitFactory, an_act

pytestmark = pytest.mark.django_db


def test_nights_are_days_of_the_branchs_calendar(trip: Rental) -> None:
    """Out at half past midnight by the branch's clock: that day is the first."""
    trip.planned_out_at = datetime(2026, 8, 13, 23, 30, tzinfo=UTC)
    assert days_of(trip)[0] == date(2026, 8, 14)
    assert len(days_of(trip)) == 4


def test_an_extension_brings_more_nights(trip: Rental) -> None:
    trip.planned_back_at += timedelta(days=2)
    assert len(days_of(trip)) == 6


def test_after_a_swap_the_card_is_the_other_units(trip: Rental, inverlark: Branch) -> None:
    Leg.objects.create(rental=trip, number=2, unit=UnitFactory(number="118", branch=inverlark))
    assert page_of(trip).facts.unit.number == "118"


def test_the_latest_plan_of_a_night_counts(trip: Rental, isla: Person) -> None:
    for minute, name in enumerate(("Quay", "Mill")):
        act = an_act(isla, at=NINE + timedelta(minutes=minute))
        plan_nights(rental=trip, nights=(a_night(trip, 0, name),), act=act)
    assert nights_of(trip)[date(2026, 8, 14)].name == "Mill"


def test_a_place_without_degrees_has_the_sun_of_the_branch_and_no_time(trip: Rental, isla: Person) -> None:
    plan_nights(rental=trip, nights=(a_night(trip, 0, latitude=None, longitude=None),), act=an_act(isla))
    stop = stops_of(trip, days_of(trip))[0]
    assert (stop.place, stop.latitude, stop.longitude) == ("Quay", Decimal("57.775"), None)
    assert facts_of(trip).light[0] is None


def test_frost_counts_where_the_place_is_open(trip: Rental, isla: Person) -> None:
    plan_nights(rental=trip, nights=(NightSaid(date(2026, 8, 14), frost=True),), act=an_act(isla))
    stop = stops_of(trip, days_of(trip))[0]
    assert (stop.frost, stop.mains) == (True, None)


def test_as_many_people_as_drivers(trip: Rental) -> None:
    for name in ("B", "C"):
        Driver.objects.create(rental=trip, name=name)
    assert party_of(None, trip).people == 3


def test_the_demos_trips_are_planned_once(trip: Rental, isla: Person) -> None:
    Rental.objects.filter(pk=trip.pk).update(outside_reference="LM-40702")
    for _ in range(2):
        plan_demo_trips(Rental.objects.select_related("branch"), by=isla)
    assert {row.name for row in trip.plannednight_rows.all()} == {"Ardnamoyle quay", "Strathvarr sands"}
    assert trip.plannedparty_rows.count() == 1


def test_other_trips_of_the_demo_are_left_open(trip: Rental, isla: Person) -> None:
    plan_demo_trips([trip], by=isla)
    assert trip.outside_reference not in PLANS
    assert not trip.plannednight_rows.exists()
