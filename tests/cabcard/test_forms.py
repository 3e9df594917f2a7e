"""What is typed about a party and a night, and what stands in the form before."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from fleet.models import NightPlace
from handover.cabcard.actions import NightSaid, PartySaid, plan_party
from handover.cabcard.forms import OTHER, NightForm, PartyForm, night_initial, party_initial
from handover.cabcard.models import PlannedNight
from handover.rental.models import Rental
from shared.access.models import Person
from shared.ids import uuid7
from tests.cabcard.conftest import QUAY, facts_of
from tests.factories import an_act

DAY = date(2026, 8, 14)
A_PLACE = NightPlace(id=7, name="Quay", **QUAY)
PARTY = {"people": "2", "habit": "sparing", "drive_h": "1"}


def a_form(**typed: str) -> NightForm:
    sent = {f"{DAY}-{name}": value for name, value in typed.items()}
    return NightForm(sent, day=DAY, places=[A_PLACE], initial={})


def said(**typed: str) -> NightSaid:
    form = a_form(**typed)
    assert form.is_valid(), form.errors
    return form.said()


def a_row(**given: Any) -> PlannedNight:
    return PlannedNight(id=uuid7(), night=DAY, **{"name": "Quay", **QUAY, **given})


def test_open_is_an_empty_night() -> None:
    assert said() == NightSaid(DAY)
    assert said(frost="on") == NightSaid(DAY, frost=True)


def test_a_place_of_the_list_counts_whatever_else_is_typed() -> None:
    assert said(place="7", name="Field", north="1", east="2") == NightSaid(DAY, "Quay", **QUAY)


def test_another_place_without_degrees_has_no_time() -> None:
    assert said(place=OTHER, name=" Field ") == NightSaid(DAY, "Field", None, None, False, False, False)


def test_degrees_are_kept_to_eleven_metres() -> None:
    found = said(place=OTHER, name="Field", north="57.123456", east="-4.00004")
    assert (found.latitude, found.longitude) == (Decimal("57.1235"), Decimal("-4.0000"))


@pytest.mark.parametrize(("field", "value"), [("north", "90.1"), ("east", "-181"), ("north", "north"), ("east", "inf")])
def test_degrees_that_cannot_be(field: str, value: str) -> None:
    form = a_form(place=OTHER, name="Field", **{field: value})
    assert not form.is_valid()
    assert form.errors[field][0].startswith("This is a figure from ")
    assert form.is_other


def test_the_list_is_of_this_branch_and_ends_with_another() -> None:
    assert [name for _key, name in a_form().fields["place"].choices] == ["Open", "Quay", "Another place"]  # type: ignore[attr-defined]


def test_what_was_planned_stands_chosen() -> None:
    assert night_initial(a_row(), [A_PLACE]) == {"place": "7", "frost": False}


def test_a_place_that_moved_meanwhile_stands_as_it_was_planned() -> None:
    found = night_initial(a_row(latitude=Decimal("57.7")), [A_PLACE])
    assert (found["place"], found["name"], found["north"], found["mains"]) == (OTHER, "Quay", Decimal("57.7"), True)


def test_what_was_left_open_stands_open() -> None:
    assert night_initial(a_row(name="", latitude=None, longitude=None, frost=True), [A_PLACE]) == {
        "place": "", "frost": True,
    }  # fmt: skip
    assert night_initial(None, [A_PLACE]) == {}


def test_a_party_as_it_is_typed() -> None:
    form = PartyForm({**PARTY, "volts": "12.45", "rested_h": "8", "celsius": "-5", "charging": "on"})
    assert form.is_valid()
    assert form.said() == PartySaid(2, "sparing", Decimal(1), Decimal("12.45"), Decimal(8), True, Decimal(-5))


def test_a_party_without_a_voltage() -> None:
    form = PartyForm(PARTY)
    assert form.is_valid()
    assert form.said() == PartySaid(2, "sparing", Decimal(1))
    assert not form.asks_for_volts


@pytest.mark.parametrize("typed", [{"volts": "12.45"}, {"celsius": "hot"}])
def test_the_voltage_unfolds_when_something_stands_in_it(typed: dict[str, str]) -> None:
    form = PartyForm({**PARTY, **typed})
    form.is_valid()
    assert form.asks_for_volts


@pytest.mark.django_db
def test_before_it_is_said_the_party_is_what_is_reckoned_with(trip: Rental, isla: Person) -> None:
    assert party_initial(facts_of(trip)) == {"people": 2, "habit": "usual", "drive_h": Decimal(1)}
    plan_party(rental=trip, said=PartySaid(3, "showers", Decimal(2), volts=Decimal("12.4")), act=an_act(isla))
    found = party_initial(facts_of(trip))
    assert (found["people"], found["habit"], found["volts"]) == (3, "showers", Decimal("12.4"))
