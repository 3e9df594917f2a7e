"""What the demo's units carry, where things are in them, and places for the night."""

from datetime import date

import pytest

from consumables.lpg import gas_kind
from fleet.demo.loading import DemoFleet, load_fleet
from fleet.models import CardPlace, EmergencyStep, LayoutStores, Load, NightPlace, Station, UnitStores

MODELS = [CardPlace, EmergencyStep, LayoutStores, Load, NightPlace, UnitStores]
TODAY = date(2026, 8, 18)


pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def demo(kept_for_module: None) -> DemoFleet:
    return load_fleet(today=TODAY)


def test_everything_is_valid_and_a_second_run_finds_it(demo: DemoFleet) -> None:
    counted = [model._default_manager.count() for model in MODELS]
    load_fleet(today=TODAY)
    assert [model._default_manager.count() for model in MODELS] == counted
    for model in MODELS:
        for row in model._default_manager.all():
            row.full_clean()


def test_every_place_lies_within_reach_of_its_vehicle(demo: DemoFleet) -> None:
    for place in CardPlace.objects.select_related("layout"):
        assert 0 <= place.y_mm <= place.layout.length_mm
        assert abs(place.x_mm) <= place.layout.width_mm / 2


@pytest.mark.parametrize(("title", "station"), [("Diesel", "Filler"), ("Gas, two cylinders", "Gas locker")])
def test_things_are_on_the_side_of_their_station(demo: DemoFleet, title: str, station: str) -> None:
    """Also in the layout that is mirrored for right-hand traffic."""
    for layout in demo.layouts.values():
        place = layout.card_places.get(title=title)
        stop = Station.objects.get(layout=layout, name=station)
        assert place.x_mm * stop.x_mm > 0
        assert abs(place.y_mm - stop.y_mm) < 400


def test_the_seal_is_of_the_layouts_own_kit(demo: DemoFleet) -> None:
    for layout in demo.layouts.values():
        kits = {place.kit for place in layout.card_places.all() if place.kit}
        assert {kit.station.layout for kit in kits} == {layout}


def test_each_layout_says_which_gas(demo: DemoFleet) -> None:
    assert {gas_kind(stores.gas).name for stores in LayoutStores.objects.all()} == {"propane"}


def test_two_units_differ(demo: DemoFleet) -> None:
    assert {row.unit.number: (row.solar_w, row.battery_chemistry) for row in UnitStores.objects.all()} == {
        "305": (120, ""), "118": (None, "gel"),
    }  # fmt: skip


def test_each_branch_has_its_own_number_in_need(demo: DemoFleet) -> None:
    numbers = {branch.code: [step.number for step in branch.emergency_steps.all()] for branch in demo.branches.values()}
    assert numbers["inverlark"][1] == "999 or 112"
    assert numbers["port-averil"][1] == "911"
