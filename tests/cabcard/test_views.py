"""The pages of the Cab card as people press them: card, paper, plan, and the customer's phone."""

from datetime import UTC, datetime
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from fleet.models import NightPlace
from handover.cabcard.models import PlannedNight, PlannedParty
from handover.cabcard.queries import days_of
from handover.rental.models import Rental
from shared.access.models import Person
from shared.ids import uuid7
from tests.cabcard.conftest import a_night, plan_for

pytestmark = pytest.mark.django_db
MOST = 24
AUGUST = datetime(2026, 8, 15, 12, tzinfo=UTC)
PARTY = {"people": "4", "habit": "usual", "drive_h": "1.5"}


@pytest.fixture(autouse=True)
def _in_august(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: AUGUST)


@pytest.fixture
def as_callum(callum: Person) -> Client:
    client = Client()
    client.force_login(callum)
    return client


def shown(client: Client, name: str, rental: Rental) -> str:
    answer = client.get(reverse(name, args=[rental.pk]))
    assert answer.status_code == 200
    return str(answer.content.decode())


def send(client: Client, name: str, rental: Rental, **said: Any) -> Any:
    return client.post(reverse(name, args=[rental.pk]), {"key": uuid7(), **said})


def night(rental: Rental, nth: int = 0, **said: str) -> dict[str, str]:
    return {f"{days_of(rental)[nth]}-{name}": value for name, value in said.items()}


def test_the_rental_leads_to_its_card(as_isla: Client, trip: Rental) -> None:
    assert reverse("cab-card", args=[trip.pk]) in shown(as_isla, "rental", trip)


def test_the_card_shows_height_nights_and_ways_on(as_isla: Client, trip: Rental) -> None:
    page = shown(as_isla, "cab-card", trip)
    assert "2.85 m" in page
    assert page.count("<li><h3>") == 4
    for name in ("cab-card-pdf", "cab-card-plan"):
        assert reverse(name, args=[trip.pk]) in page


def test_who_may_not_book_is_not_offered_to_plan(as_callum: Client, trip: Rental) -> None:
    assert reverse("cab-card-plan", args=[trip.pk]) not in shown(as_callum, "cab-card", trip)


@pytest.mark.parametrize("state", ["booked", "pickup", "out", "swap", "return", "back", "settled"])
def test_there_is_a_card_in_every_state(as_isla: Client, trip: Rental, state: str) -> None:
    Rental.objects.filter(pk=trip.pk).update(state=state)
    assert "Where things are" in shown(as_isla, "cab-card", trip)


def test_the_card_asks_the_database_a_fixed_number_of_times(as_isla: Client, trip: Rental, isla: Person) -> None:
    counted = []
    for nights in (0, 4):
        plan_for(trip, isla, *(a_night(trip, nth) for nth in range(nights)))
        with CaptureQueriesContext(connection) as queries:
            shown(as_isla, "cab-card", trip)
        counted.append(len(queries))
    assert counted[0] == counted[1] <= MOST


def test_the_paper_is_a_pdf_that_is_not_kept(as_isla: Client, trip: Rental) -> None:
    answer = as_isla.get(reverse("cab-card-pdf", args=[trip.pk]))
    assert answer.content.startswith(b"%PDF")
    assert answer.headers["Content-Disposition"] == f'inline; filename="{trip.number}-cab-card.pdf"'
    assert answer.headers["Cache-Control"] == "no-store"


def test_the_plan_shows_what_is_reckoned_with(as_isla: Client, trip: Rental, isla: Person) -> None:
    plan_for(trip, isla, a_night(trip, 0, "Ardnamoyle quay"), a_night(trip, 1, "Own field", mains=False))
    page = shown(as_isla, "cab-card-plan", trip)
    quay = NightPlace.objects.get(name="Ardnamoyle quay")
    assert f'<option value="{quay.pk}" selected>Ardnamoyle quay</option>' in page
    assert 'value="Own field"' in page
    assert page.count('<fieldset class="night">') == 4


def test_a_party_is_kept(as_isla: Client, trip: Rental) -> None:
    assert send(as_isla, "cab-card-party", trip, **PARTY).status_code == 302
    row = PlannedParty.objects.get()
    assert (row.people, row.habit, str(row.drive_h)) == (4, "usual", "1.5")


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"people": ""}, "Say how many people go."),
        ({"people": "2.5"}, "People are whole: 2, not 2.5."),
        ({"habit": ""}, "Choose one."),
        ({"drive_h": "a lot"}, "This is a figure from 0 to 12."),
        ({"drive_h": "13"}, "This is a figure from 0 to 12."),
        ({"volts": "24"}, "This is a figure from 8 to 16."),
        ({"volts": "NaN"}, "This is a figure from 8 to 16."),
    ],
)
def test_a_party_that_cannot_be_is_said_at_its_field(
    as_isla: Client, trip: Rental, said: dict[str, str], sentence: str
) -> None:
    answer = send(as_isla, "cab-card-party", trip, **{**PARTY, **said})
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert not PlannedParty.objects.exists()


def test_a_form_without_its_key_is_refused(as_isla: Client, trip: Rental) -> None:
    for name, said in (("cab-card-party", PARTY), ("cab-card-nights", night(trip, place=""))):
        answer = as_isla.post(reverse(name, args=[trip.pk]), said)
        assert answer.status_code == 422
        assert "This form has no key" in answer.content.decode()


def test_a_place_of_the_list_brings_what_is_there(as_isla: Client, trip: Rental, places: dict[str, NightPlace]) -> None:
    quay = places["Ardnamoyle quay"]
    assert send(as_isla, "cab-card-nights", trip, **night(trip, place=str(quay.pk), frost="on")).status_code == 302
    row = PlannedNight.objects.get(name="Ardnamoyle quay")
    assert (row.latitude, row.mains, row.water, row.waste, row.frost) == (quay.latitude, True, True, True, True)


@pytest.mark.parametrize("place", ["other", ""])
def test_another_place_is_typed(as_isla: Client, trip: Rental, place: str) -> None:
    """Also where its name was typed and the list left at open."""
    typed = night(trip, place=place, name="Own field", north="57.123456", east="-4.5", water="on")
    assert send(as_isla, "cab-card-nights", trip, **typed).status_code == 302
    row = PlannedNight.objects.get(name="Own field")
    assert (str(row.latitude), str(row.longitude)) == ("57.1235", "-4.5000")
    assert (row.mains, row.water, row.waste) == (False, True, False)


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"place": "other", "name": "Field", "north": "95", "east": "1"}, "This is a figure from -90 to 90."),
        ({"place": "other", "name": "Field", "north": "57"}, "A place needs both degrees"),
        ({"place": "other", "north": "57", "east": "-4"}, "Give the place a name."),
        ({"place": "nowhere"}, "Select a valid choice"),
    ],
)
def test_a_place_that_cannot_be_keeps_what_was_typed(
    as_isla: Client, trip: Rental, said: dict[str, str], sentence: str
) -> None:
    answer = send(as_isla, "cab-card-nights", trip, **night(trip, **said))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in page
    assert said.get("name", "") in page
    assert not PlannedNight.objects.exists()


def test_what_is_over_is_not_planned_any_more(as_isla: Client, trip: Rental) -> None:
    Rental.objects.filter(pk=trip.pk).update(state="settled")
    assert "there is no night left to plan" in shown(as_isla, "cab-card-plan", trip)
    assert send(as_isla, "cab-card-party", trip, **PARTY).status_code == 422


def test_a_day_trip_says_that_it_has_no_night(as_isla: Client, trip: Rental) -> None:
    Rental.objects.filter(pk=trip.pk).update(planned_back_at=datetime(2026, 8, 14, 17, tzinfo=UTC))
    assert "there is no night" in shown(as_isla, "cab-card-plan", trip)
    assert send(as_isla, "cab-card-nights", trip).status_code == 302


def test_where_voltage_cannot_tell_the_plan_says_so(as_isla: Client, trip: Rental) -> None:
    send(as_isla, "cab-card-party", trip, **PARTY, volts="13.8", rested_h="0", charging="on")
    assert "Under charge the voltage is the charger’s" in shown(as_isla, "cab-card-plan", trip)
