"""A tank's curve in a walk-round: frozen with the sheet, and drawn where the gauge's marks truly are."""

from datetime import date
from decimal import Decimal

import pytest
from django.urls import reverse

from consumables.models import TankCurve
from fleet.models import Unit, UnitInstrument
from handover.walkround.asking import sheet_of
from handover.walkround.page.sticks import pickup_stick
from handover.walkround.reading import read
from handover.walkround.sheet import InstrumentAsk, sheet_from_json, sheet_json
from shared.access.models import Person
from shared.canonical import canonical_text
from tests.consumables.made import BELLY
from tests.factories import BACK_AT, NINE
from tests.playing import go, item, start
from tests.playing import read as take_readings

TODAY = date(2026, 8, 14)


def put_to_use(maeve: Person, litres: tuple[Decimal, ...] = BELLY.litres, **said) -> TankCurve:
    kept = {"code": "diesel", "valid_from": TODAY, "learned_from": 40, "at": NINE, "made_by": maeve, **said}
    return TankCurve.objects.create(litres=list(map(str, litres)), **kept)


def diesel(unit: Unit) -> InstrumentAsk:
    return next(ask for _, ask in sheet_of(unit, today=TODAY).instruments() if ask.code == "diesel")


def test_without_a_curve_the_tank_is_a_straight_line(unit_407: Unit) -> None:
    assert (diesel(unit_407).curve, diesel(unit_407).curve_from) == ((), "")


def test_the_curve_of_the_day_is_frozen_with_the_sheet(unit_407: Unit, maeve: Person) -> None:
    put_to_use(maeve, unit=unit_407)
    text = canonical_text(sheet_json(sheet_of(unit_407, today=TODAY)))
    kept = next(ask for _, ask in sheet_from_json(text).instruments() if ask.code == "diesel")
    assert kept.curve == BELLY.litres
    assert kept.curve_from == "2026-08-14"


def test_a_curve_of_tomorrow_is_not_valid_yet(unit_407: Unit, maeve: Person) -> None:
    put_to_use(maeve, unit=unit_407, valid_from=date(2026, 8, 15))
    assert diesel(unit_407).curve == ()


def test_the_units_own_comes_before_its_layouts(unit_407: Unit, maeve: Person) -> None:
    put_to_use(maeve, unit=unit_407)
    put_to_use(maeve, (Decimal(0), Decimal(50), Decimal(90)), layout=unit_407.layout)
    assert diesel(unit_407).curve == BELLY.litres


def test_a_layouts_curve_serves_a_unit_without_one(unit_407: Unit, maeve: Person) -> None:
    put_to_use(maeve, layout=unit_407.layout)
    assert diesel(unit_407).curve == BELLY.litres


def test_back_to_the_straight_line(unit_407: Unit, maeve: Person) -> None:
    put_to_use(maeve, unit=unit_407, valid_from=date(2026, 8, 1))
    put_to_use(maeve, (Decimal(0), Decimal(90)), unit=unit_407, learned_from=0)
    assert diesel(unit_407).curve == ()


def test_a_curve_of_another_tank_is_left_out(unit_407: Unit, maeve: Person) -> None:
    put_to_use(maeve, unit=unit_407)
    gauge = diesel(unit_407)
    UnitInstrument.objects.create(unit=unit_407, instrument_id=gauge.id, capacity=Decimal(75))
    assert diesel(Unit.objects.get(pk=unit_407.pk)).curve == ()


@pytest.mark.parametrize("learned", [True, False])
def test_the_sticks_half_stands_where_the_curve_has_it(unit_407: Unit, maeve: Person, *, learned: bool) -> None:
    straight = pickup_stick(diesel(unit_407), None, None, can_move=False)
    if learned:
        put_to_use(maeve, unit=unit_407)
    assert (pickup_stick(diesel(unit_407), None, None, can_move=False) != straight) is learned


@pytest.mark.parametrize(
    ("typed", "litres"),
    [("1/2", "53"), ("50 %", "53"), ("½", "53"), ("5/8", "63"), ("1/1", "90"), ("53", "53"), ("45", "45")],
)
def test_a_part_of_the_gauge_has_the_litres_of_the_curve(booked, isla, maeve, typed: str, litres: str) -> None:
    put_to_use(maeve, unit=booked.legs.get().unit)
    walk = start(booked, "pickup", isla)
    assert read(walk, item(walk, "diesel"), typed, at=NINE).value == Decimal(litres)


def test_without_a_curve_half_is_half_of_the_litres(booked, isla) -> None:
    walk = start(booked, "pickup", isla)
    assert read(walk, item(walk, "diesel"), "1/2", at=NINE).value == 45


def test_the_distance_asks_about_the_fuel(booked, isla) -> None:
    """66 L gone in 90 km."""
    go(booked, isla, diesel="82", odometer="66290")
    walk = start(booked, "return", isla, at=BACK_AT, arrived_at=BACK_AT)
    take_readings(walk, isla, BACK_AT, odometer="66380")
    assert "is more than a camper burns" in read(walk, item(walk, "diesel"), "16", at=BACK_AT).doubt
    assert read(walk, item(walk, "diesel"), "70", at=BACK_AT).doubt == ""


def test_the_station_says_which_curve(booked, isla, maeve, client) -> None:
    put_to_use(maeve, unit=booked.legs.get().unit)
    go(booked, isla, diesel="82")
    walk = start(booked, "return", isla, at=BACK_AT, arrived_at=BACK_AT)
    client.force_login(isla)
    assert "90 L, ± 1.5, curve of 14 Aug" in client.get(reverse("station", args=[walk.pk, 1])).text
