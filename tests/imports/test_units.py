# ruff: noqa: E501 (a bad cell and its sentence belong on one line)
from datetime import date

import pytest

from fleet.imports.reading import read_csv
from fleet.imports.units import UnitResource
from fleet.models import Unit
from tests.factories import PortAverilFactory, UnitFactory
from tests.imports.conftest import csv_of, told, unit_row


def test_good_rows_go_in(take_units):
    result = take_units(unit_row(), unit_row(number="140", plate="lrk  140", odometer="88020 km", branch="INVERLARK"))
    assert told(result) == []
    assert (result.totals["new"], result.totals["update"]) == (2, 0)
    unit = Unit.objects.get(number="118")
    assert (unit.plate, unit.branch.code, unit.layout.code) == ("LRK 118", "inverlark", "skerry")
    assert (unit.odometer_km, unit.in_service_on) == (66_315, date(2025, 4, 3))
    assert Unit.objects.get(number="140").plate == "LRK 140"


def test_a_known_number_changes_the_unit(take_units):
    result = take_units(unit_row(number="407", plate="LRK 470", odometer="70000 km"))
    assert (result.totals["new"], result.totals["update"]) == (0, 1)
    assert Unit.objects.get(number="407").plate == "LRK 470"


@pytest.mark.parametrize(
    ("cells", "column", "sentence"),
    [
        ({"number": ""}, "number", "Nothing is written here. Each unit has a number."),
        ({"number": "12345678901"}, "number", "12345678901… has 11 letters. There is room for 10."),
        ({"plate": "LRK 407"}, "plate", "LRK 407 is another unit's plate. Each unit has its own."),
        ({"branch": "inverlurk"}, "branch", "inverlurk is no branch of yours. Known: inverlark, port-averil. inverlark may be meant."),
        ({"branch": ""}, "branch", "Nothing is written here. Known: inverlark, port-averil."),
        ({"layout": "machair"}, "layout", "machair is no layout. Known: skerry."),
        ({"odometer": "41206"}, "odometer", "41206 names no unit. Write it as 41206 mi or 66314 km."),
        ({"odometer": ""}, "odometer", "Nothing is written here. Write it as 41206 mi or 66314 km."),
        ({"odometer": "-5 km"}, "odometer", "-5 km is below zero: nothing can be less than empty. A distance is written like 41206 km."),
        ({"odometer": "50 L"}, "odometer", "50 L cannot be a distance: L is a volume; known are km and mi. A distance is written like 41206 km."),
        ({"number": "407", "plate": "LRK 407", "odometer": "41206 km"}, "odometer", "41206 km is less than the 66290 km of this unit now. An odometer does not run back; miles may be meant."),
        ({"in_service_on": "03/04/2025"}, "in_service_on", "03/04/2025 is no date as 2026-08-18: year, month, day."),
        ({"vin_has_check_digit": "maybe"}, "vin_has_check_digit", "maybe is neither yes nor no. Write yes or no."),
        ({"vin": "0LKMACHR5RP000266", "vin_has_check_digit": "yes"}, "vin", "The check digit, place 9, is 5 and by the rest of the VIN must be 6."),
        ({"vin": "OLKSKERRYRL000407"}, "vin", "A VIN has 17 letters and digits, never I, O or Q; this has 17. Did you mean 0LKSKERRYRL000407?"),
    ],
)  # fmt: skip
def test_a_bad_cell_is_told_in_a_sentence(take_units, cells, column, sentence):
    assert told(take_units(unit_row(**cells))) == [(2, column, sentence)]


def test_one_bad_row_keeps_all_out_and_every_bad_cell_is_told(take_units):
    result = take_units(
        unit_row(), unit_row(number="140", plate="", odometer="9"), unit_row(number="212", plate="LRK 212", layout="x")
    )
    assert [(line, column) for line, column, _ in told(result)] == [(3, "plate"), (3, "odometer"), (4, "layout")]
    assert list(Unit.objects.values_list("number", flat=True)) == ["407"]


def test_a_bad_row_takes_changes_back_too(take_units):
    take_units(unit_row(number="407", plate="LRK 470", odometer="70000 km"), unit_row(odometer="9"))
    assert Unit.objects.get(number="407").plate == "LRK 407"


def test_a_number_twice_in_the_file(take_units):
    result = take_units(unit_row(), unit_row(plate="LRK 119"))
    assert told(result) == [(3, "number", "118 is in line 2 already.")]


def test_a_dry_run_keeps_nothing(maeve, unit_407):
    result = UnitResource().take_file(read_csv(csv_of(unit_row())), by=maeve, dry_run=True)
    assert told(result) == []
    assert not Unit.objects.filter(number="118").exists()


def test_another_branchs_unit_cannot_be_taken(unit_407, ida):
    row = unit_row(number="407", plate="PAV 407", branch="port-averil")
    result = UnitResource().take_file(read_csv(csv_of(row)), by=ida)
    assert told(result) == [(2, "number", "407 is a unit of another branch. Choose another number.")]


def test_a_branch_that_is_not_ones_own_does_not_exist(unit_407, ida):
    result = UnitResource().take_file(read_csv(csv_of(unit_row())), by=ida)
    assert told(result) == [(2, "branch", "inverlark is no branch of yours. Known: port-averil.")]


def test_what_goes_out_can_come_in_again(maeve, unit_407):
    UnitFactory(number="266", branch=PortAverilFactory(), vin="0LKMACHR6RP000266", vin_has_check_digit=True)
    out = UnitResource().export(Unit.objects.all()).csv.encode()
    result = UnitResource().take_file(read_csv(out), by=maeve)
    assert told(result) == []
    assert result.totals["update"] == 2
    assert UnitResource().export(Unit.objects.all()).csv.encode() == out
