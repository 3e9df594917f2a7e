from datetime import date

import pytest

from fleet.demo.layouts import mirrored
from fleet.demo.loading import load_fleet
from fleet.models import CheckItem, DueDate, Equipment, Instrument, Kit, Layout, Station, Topic, Unit, UnitKit
from shared.access.models import Person

TODAY = date(2026, 8, 18)
KINDS = [CheckItem, Instrument, Kit, Equipment, Topic]


pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def demo(kept_for_module):
    return load_fleet(today=TODAY)


def counted():
    return {model: model.objects.count() for model in [*KINDS, Station, Unit, UnitKit, DueDate, Person]}


def test_two_branches_two_layouts_eight_units_six_people(demo):
    assert (len(demo.branches), len(demo.layouts), len(demo.units), len(demo.people)) == (2, 2, 8, 6)


def test_a_second_run_finds_everything(demo):
    before = counted()
    load_fleet(today=TODAY)
    assert counted() == before


def test_a_second_run_on_another_day_moves_the_due_dates(demo):
    load_fleet(today=date(2026, 9, 18))
    gas = DueDate.objects.get(unit__number="512", kind="gas")
    assert gas.due_on == date(2026, 9, 9)


def test_a_second_run_leaves_what_was_changed(demo):
    Unit.objects.filter(number="407").update(odometer_km=70_000)
    demo.people["isla"].set_password("my-own-long-password")
    demo.people["isla"].save()
    load_fleet(today=TODAY)
    assert Unit.objects.get(number="407").odometer_km == 70_000
    assert Person.objects.get(username="isla").check_password("my-own-long-password")


def test_everything_loaded_is_valid(demo):
    for model in [*KINDS, Station, Unit, Layout, UnitKit, DueDate]:
        for row in model.objects.all():
            row.full_clean()


def test_only_the_gas_of_512_is_overdue(demo):
    overdue = DueDate.objects.filter(due_on__lt=TODAY)
    assert [(due.unit.number, due.kind) for due in overdue] == [("512", "gas")]


@pytest.mark.parametrize("code", ["skerry", "machair"])
def test_every_station_has_something_to_do_and_something_to_say(demo, code):
    for station in demo.layouts[code].stations.all():
        done = [getattr(station, name) for name in ("checkitems", "instruments", "kits", "equipments")]
        assert any(rows.exists() for rows in done), station
    told = Topic.objects.filter(station__layout=demo.layouts[code], severity="S")
    assert told.count() >= 9


@pytest.mark.parametrize("code", ["skerry", "machair"])
def test_every_place_of_the_content_is_at_some_station(demo, code):
    """What one layout has and the other has not is marked in the content; nothing else may be lost."""
    here = {model: model.objects.filter(station__layout=demo.layouts[code]).count() for model in KINDS}
    own = {"skerry": [61, 13, 2, 33, 27], "machair": [62, 13, 2, 34, 27]}
    assert list(here.values()) == own[code]


def test_a_layout_has_the_readings_of_a_walk_round(demo):
    for layout in demo.layouts.values():
        measured = Instrument.objects.filter(station__layout=layout).values_list("measures", flat=True)
        assert set(measured) == set(Instrument.Measures.values)
        assert list(measured).count("tread") == 4
        assert list(measured).count("gas") == 2


def test_station_3_of_skerry_has_its_tanks(demo):
    diesel, fluid = Instrument.objects.filter(station__layout=demo.layouts["skerry"], station__number=3)
    assert (diesel.capacity, diesel.steps, diesel.half_width) == (90, 16, 1.5)
    assert (fluid.capacity, fluid.resolution, fluid.half_width) == (20, 1, 1.5)


def test_topics_tell_the_layouts_own_figures(demo):
    told = {row.station.layout.code: row.text for row in Topic.objects.filter(code="size")}
    assert "2.85 m high, 5.99 m long" in told["skerry"]
    assert "3.12 m high, 6.99 m long" in told["machair"]
    assert "911" in Topic.objects.get(code="emergency", station__layout__code="machair").text


def test_prices_are_in_the_currency_of_the_layout(demo):
    prices = dict(Equipment.objects.filter(code="keys").values_list("station__layout__currency", "price"))
    assert prices == {"GBP": 245, "CAD": 420}


def test_the_right_hand_traffic_build_is_the_mirror_image():
    drawn = {
        "fittings": [{"kind": "galley", "x_mm": 560, "y_mm": 0, "w_mm": 390, "h_mm": 10, "turn": 90}],
        "stations": [{"number": 1, "x_mm": 100, "y_mm": 0, "way": [[5, 7]]}],
    }
    seen = mirrored(drawn)
    assert (seen["fittings"][0]["x_mm"], seen["fittings"][0]["turn"]) == (-950, 270)
    assert (seen["stations"][0]["x_mm"], seen["stations"][0]["way"]) == (-100, [[-5, 7]])
    assert mirrored(seen) == drawn


def test_the_entrance_of_each_layout_is_on_its_kerb_side(demo):
    assert demo.layouts["skerry"].stations.get(name="Sliding door").x_mm < 0
    assert demo.layouts["machair"].stations.get(name="Entrance").x_mm > 0


def test_the_seal_of_407(demo):
    assert UnitKit.objects.get(unit__number="407", kit__code="first_aid").seal_number == "93412"


def test_only_coordinator_and_administrator_are_staff(demo):
    assert {name for name, who in demo.people.items() if who.is_staff} == {"maeve", "anders"}
