"""Unit 407 with what it carries to live on, Maren Oduya's four nights, and places of the branch to choose from."""

from decimal import Decimal
from typing import Any

import pytest

from fleet.models import (
    Branch,
    CardPlace,
    EmergencyStep,
    Instrument,
    Kit,
    LayoutStores,
    Load,
    NightPlace,
    Station,
    Unit,
)
from handover.cabcard.actions import NightSaid, PartySaid, plan_nights, plan_party
from handover.cabcard.page import card_page
from handover.cabcard.queries import CardFacts, card_facts, days_of
from handover.cabcard.rows import CardPage
from handover.cabcard.tongues import tongues_for
from handover.rental.models import Rental
from handover.rental.queries import rentals_in_full
from shared.access.models import Person
from tests.factories import InstrumentFactory, an_act

QUAY = {"latitude": Decimal("57.6"), "longitude": Decimal("-5.4"), "mains": True, "water": True, "waste": True}
SANDS = {"latitude": Decimal("57.95"), "longitude": Decimal("-5.1"), "mains": False, "water": False, "waste": False}
TWO = PartySaid(2, "sparing", Decimal(1))


@pytest.fixture
def living(unit_407: Unit) -> Unit:
    """95 Ah of AGM, 90 L of water, two loads of each kind, three lettered places, three emergency steps."""
    layout = unit_407.layout
    LayoutStores.objects.create(
        layout=layout, battery_chemistry="agm", battery_ah=Decimal(95), charger_a=Decimal(10),
        drive_charger_a=Decimal(20), fresh_l=Decimal(90), waste_l=Decimal(80), cassette_l=Decimal("17.5"),
    )  # fmt: skip
    Load.objects.create(layout=layout, name="Refrigerator", draws="battery", amount=48, hours=5)
    Load.objects.create(layout=layout, name="Phones", draws="battery", amount=12, hours_each=2)
    Load.objects.create(layout=layout, name="Hob", draws="gas", amount=150, hours=Decimal("0.5"))
    Load.objects.create(layout=layout, name="Heating", draws="gas", amount=200, hours=6, in_frost=True)
    CardPlace.objects.create(layout=layout, order=1, title="Diesel", words="Blue cap: AUS 32", x_mm=1000, y_mm=2600)
    CardPlace.objects.create(layout=layout, order=2, title="Gas", words="Shut when driving", x_mm=-1000, y_mm=5300)
    CardPlace.objects.create(
        layout=layout, order=3, title="First aid kit", x_mm=0, y_mm=2300, kit=Kit.objects.get(code="first_aid")
    )
    _emergencies(unit_407.branch)
    return unit_407


def _emergencies(branch: Branch) -> None:
    steps = [("Smell of gas", "All out.", ""), ("Hurt, fire", "Ring", "999 or 112"), ("Else", "Yard:", "01632 960407")]
    for order, (title, text, number) in enumerate(steps):
        EmergencyStep.objects.create(branch=branch, order=order, title=title, text=text, number=number)


@pytest.fixture
def places(inverlark: Branch) -> dict[str, NightPlace]:
    return {
        name: NightPlace.objects.create(branch=inverlark, name=name, **said)
        for name, said in (("Ardnamoyle quay", QUAY), ("Strathvarr sands", SANDS))
    }


@pytest.fixture
def trip(living: Unit, places: dict[str, NightPlace], booked: Rental) -> Rental:
    """Booked, nothing planned yet."""
    return booked


def a_night(rental: Rental, nth: int, name: str = "Quay", **said: Any) -> NightSaid:
    return NightSaid(days_of(rental)[nth], name, **{**QUAY, **said})


def plan_for(rental: Rental, by: Person, *nights: NightSaid, party: PartySaid = TWO) -> None:
    plan_party(rental=rental, said=party, act=an_act(by))
    plan_nights(rental=rental, nights=nights, act=an_act(by))


def facts_of(rental: Rental) -> CardFacts:
    return card_facts(rentals_in_full().get(pk=rental.pk))


def page_of(rental: Rental, language: str = "en") -> CardPage:
    return card_page(facts_of(rental), tongues_for(language))


def an_instrument(vehicle: Unit, code: str, **said: Any) -> Instrument:
    """At station 1 of the unit's layout, read in percent."""
    station = Station.objects.get(layout=vehicle.layout, number=1)
    usual = {"name": code, "measures": code, "unit": "%", "capacity": Decimal(100), "half_width": Decimal(3)}
    return InstrumentFactory(station=station, code=code, **{**usual, **said})
