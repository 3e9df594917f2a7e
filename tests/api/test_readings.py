"""What a device in a vehicle reports is kept beside what people read, and asks them where it differs."""

from decimal import Decimal
from typing import Any

import pytest
from django.utils import timezone

from consumables.unlikely import below_reported
from fleet.models import Unit
from handover.api.models import ApiToken
from handover.rental.models import Rental
from handover.reported.models import ReportedReading
from handover.walkround.actions import take_reading
from handover.walkround.models import Reading
from shared.access.models import Person
from shared.ledger.models import Entry
from tests.api.made import Program
from tests.factories import NINE, UnitFactory, an_act
from tests.playing import item, start

AT = "2026-08-14T07:30:00Z"


@pytest.fixture
def unit(booked: Rental) -> Unit:
    return UnitFactory()


@pytest.fixture
def report(program: Program, unit: Unit, monkeypatch: pytest.MonkeyPatch) -> Any:
    """At nine on the day of the booking."""
    monkeypatch.setattr(timezone, "now", lambda: NINE)

    def sent(**figures: str) -> Any:
        return program.post(f"/units/{unit.pk}/readings", {"at": AT, **figures})

    return sent


def test_a_report_is_kept_and_told(report: Any, program: Program, unit: Unit, token: ApiToken):
    answer = report(odometer_km="66301.5", fuel_percent="62.5", battery_volts="12.8", instrument="tracker")
    assert answer.status_code == 201
    row = ReportedReading.objects.get(pk=answer.json()["id"])
    assert (row.odometer_km, row.fuel_percent, row.battery_volts, row.by_id) == (
        Decimal("66301.5"), Decimal("62.5"), Decimal("12.8"), token.service_id
    )  # fmt: skip
    assert Entry.objects.get(chain=unit.pk, kind="reading.reported").subject == row.pk
    (listed,) = program.get(f"/units/{unit.pk}/readings").json()["items"]
    assert (listed["odometer_km"], listed["instrument"], listed["doubt"]) == ("66301.5", "tracker", "")


@pytest.mark.parametrize(
    ("figures", "pointer"),
    [
        ({}, ""),
        ({"battery_volts": "31"}, "/battery_volts"),
        ({"fuel_percent": "101"}, "/fuel_percent"),
        ({"odometer_km": "-4"}, "/odometer_km"),
        ({"odometer_km": "5", "at": "2026-08-14T08:06:00Z"}, "/at"),
        ({"odometer_km": "5", "at": "2024-08-14T08:06:00Z"}, "/at"),
    ],
)
def test_what_cannot_be_reported(report: Any, figures: dict[str, str], pointer: str):
    answer = report(**figures)
    assert (answer.status_code, answer.json()["errors"][0]["pointer"]) == (422, pointer)
    assert not ReportedReading.objects.exists()


def test_it_replaces_no_reading_and_no_odometer(report: Any, unit: Unit):
    report(odometer_km="70000", fuel_percent="10")
    unit.refresh_from_db()
    assert unit.odometer_km == 66_290
    assert not Reading.objects.exists()


def read(rental: Rental, by: Person, km: str) -> Reading:
    walk = start(rental, "pickup", by)
    return take_reading(walk, item=item(walk, "odometer").id, typed=km, act=an_act(by))


def test_who_reads_less_than_it_reported_is_asked(report: Any, booked: Rental, isla: Person):
    report(odometer_km="66400")
    assert read(booked, isla, "66320").doubt.startswith("The vehicle itself reported 66\u202f400 km before.")


def test_who_reads_more_is_not(report: Any, booked: Rental, isla: Person):
    report(odometer_km="66300")
    assert read(booked, isla, "66320").doubt == ""


def test_a_report_below_what_a_person_read_is_kept_with_its_doubt(report: Any, booked: Rental, isla: Person):
    walk = start(booked, "pickup", isla)
    take_reading(walk, item=item(walk, "odometer").id, typed="66320", act=an_act(isla, at=NINE.replace(hour=7)))
    answer = report(odometer_km="6632")
    assert answer.status_code == 201
    assert "is less than" in answer.json()["doubt"]


def test_rounding_is_no_difference():
    assert below_reported(Decimal(41_000), reported_km=Decimal("41000.9"), unit="km") == ""
    assert below_reported(Decimal(41_000), reported_km=Decimal("41001.5"), unit="mi") == ""
    assert below_reported(Decimal(41_000), reported_km=None, unit="km") == ""
    assert below_reported(Decimal(41_000), reported_km=Decimal(41_002), unit="km") != ""
