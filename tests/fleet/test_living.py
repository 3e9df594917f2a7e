"""What may be entered of stores, loads and places, and who enters it."""

from decimal import Decimal
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.test import Client
from django.urls import reverse

from fleet.models import Branch, CardPlace, Kit, Layout, LayoutStores, Load, NightPlace, Unit, UnitStores
from shared.access.models import Person
from tests.factories import LayoutFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def as_maeve(maeve: Person) -> Client:
    client = Client()
    client.force_login(maeve)
    return client


@pytest.mark.parametrize("gas", ["propane", "butane", "60/40 by mass", "50/50 by mole"])
def test_a_gas_that_can_be_reckoned_with(unit_407: Unit, gas: str) -> None:
    LayoutStores(layout=unit_407.layout, gas=gas).full_clean()


@pytest.mark.parametrize("gas", ["50/50", "lpg", "Propane", "60/40 by volume"])
def test_a_gas_that_does_not_say_enough(unit_407: Unit, gas: str) -> None:
    with pytest.raises(ValidationError, match="by mass or by mole, since they differ"):
        LayoutStores(layout=unit_407.layout, gas=gas).full_clean()


@pytest.mark.parametrize(
    ("field", "value"), [("battery_ah", "0"), ("charger_a", "-1"), ("fresh_l", "0"), ("battery_chemistry", "nickel")]
)
def test_stores_that_cannot_be(unit_407: Unit, field: str, value: str) -> None:
    with pytest.raises(ValidationError) as refused:
        LayoutStores(layout=unit_407.layout, **{field: value}).full_clean()
    assert set(refused.value.message_dict) == {field}


@pytest.mark.parametrize(("field", "value"), [("amount", "0"), ("hours", "25"), ("hours_each", "-1"), ("draws", "sun")])
def test_loads_that_cannot_be(unit_407: Unit, field: str, value: str) -> None:
    given: dict[str, Any] = {"name": "Hob", "draws": "gas", "amount": "150", field: value}
    with pytest.raises(ValidationError) as refused:
        Load(layout=unit_407.layout, **given).full_clean()
    assert set(refused.value.message_dict) == {field}


def test_a_night_place_lies_on_earth(inverlark: Branch) -> None:
    with pytest.raises(IntegrityError, match="night_place_on_earth"):
        NightPlace.objects.create(branch=inverlark, name="Nowhere", latitude=Decimal(91), longitude=Decimal(0))


def test_a_night_place_is_named_once_in_a_branch(inverlark: Branch, port_averil: Branch) -> None:
    for branch in (inverlark, port_averil):
        NightPlace.objects.create(branch=branch, name="Quay", latitude=1, longitude=1)
    with pytest.raises(IntegrityError):
        NightPlace.objects.create(branch=inverlark, name="Quay", latitude=2, longitude=2)


def test_rows_say_what_they_are(unit_407: Unit) -> None:
    assert str(LayoutStores(layout=unit_407.layout)) == "Skerry: battery, tanks and gas"
    assert str(UnitStores(unit=unit_407)).startswith("Unit 407: battery and chargers")
    assert (str(Load(name="Hob")), str(CardPlace(title="Gas"))) == ("Hob", "Gas")


def test_a_place_on_the_card_offers_kits_of_its_own_layout(as_maeve: Client, unit_407: Unit) -> None:
    LayoutFactory(code="machair", name="Machair")
    own = Kit.objects.get(station__layout=unit_407.layout)
    CardPlace.objects.create(layout=unit_407.layout, title="Kit", x_mm=0, y_mm=0, kit=own)
    page = as_maeve.get(reverse("admin:fleet_layout_change", args=[unit_407.layout.pk])).content.decode()
    select = page.partition('id="id_card_places-0-kit"')[2].partition("</select>")[0]
    assert select.count("<option") == 2


@pytest.mark.parametrize("shown", ["Battery, tanks and gas", "Loads", "Places on the Cab card", "mains charger"])
def test_the_layouts_page_has_their_rows(as_maeve: Client, unit_407: Unit, shown: str) -> None:
    page = as_maeve.get(reverse("admin:fleet_layout_change", args=[unit_407.layout.pk])).content.decode()
    assert shown.lower() in page.lower()


def test_the_units_page_asks_what_differs(as_maeve: Client, unit_407: Unit) -> None:
    page = as_maeve.get(reverse("admin:fleet_unit_change", args=[unit_407.pk])).content.decode()
    assert "battery and chargers that differ from the layout" in page.lower()


def test_a_layouts_sizes_for_the_card_may_stay_empty(unit_407: Unit) -> None:
    layout = Layout.objects.get()
    assert (layout.width_mirrors_mm, layout.speed_kmh, layout.tyre_front_bar) == (None, None, None)
