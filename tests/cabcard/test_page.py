"""The Cab card in words: figures in both systems, places, nights, gas, customs, and two languages."""

import json
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from django.conf import settings

from consumables.battery import Chemistry, tables_for
from consumables.lpg import BUTANE, PROPANE
from fleet.models import Layout, NightPlace
from handover.cabcard.actions import NightSaid, PartySaid
from handover.cabcard.page import LABELS
from handover.cabcard.queries import MOST_NIGHTS, card_facts, days_of
from handover.cabcard.tongues import Both, Tongues, tongues_for
from handover.rental.models import Rental
from handover.rental.queries import rentals_in_full
from handover.sayings.cards import CARDS
from shared.access.models import Person
from tests.cabcard.conftest import SANDS, TWO, a_night, facts_of, page_of, plan_for
from tests.pseudo import spoken_instead_of

pytestmark = pytest.mark.django_db
OFF = {"mains": False, "water": False, "waste": False}


def texts(rows: list[Both]) -> list[str]:
    return [row.own for row in rows]


def figures(rental: Rental) -> dict[str, tuple[str, str]]:
    return {figure.name.own: (figure.value, figure.other) for figure in page_of(rental).figures}


def test_height_stands_first_in_both_systems(trip: Rental) -> None:
    height = page_of(trip).height
    assert (height.name.own, height.value, height.other) == ("Height", "2.85 m", "9 ft 5 in")


def test_sizes_masses_speed_and_tyres(trip: Rental) -> None:
    Layout.objects.update(width_mirrors_mm=2420, speed_kmh=110, tyre_front_bar=Decimal("4.5"), tyre_rear_bar=5)
    found = figures(trip)
    assert found["Width with mirrors"] == ("2.42 m", "8 ft 0 in")
    assert found["Most speed"] == ("110 km/h", "68 mph")
    assert found["Tyres, cold, front / rear"] == ("4.5 / 5.0 bar", "65 / 73 psi")
    assert found["Most it may weigh"] == ("3\u202f500 kg", "7\u202f716 lb")


def test_what_is_not_entered_is_not_printed(trip: Rental) -> None:
    assert set(figures(trip)) == {"Length", "Most it may weigh", "You may still load about"}


def test_what_may_be_loaded_counts_passengers_and_water(trip: Rental) -> None:
    """3 500 less 2 890, one passenger of 75 and 90 kg of water: 445, so 440."""
    assert figures(trip)["You may still load about"][0] == "440 kg"


def test_an_overload_is_said(trip: Rental) -> None:
    Layout.objects.update(running_mass_kg=3400)
    assert figures(trip)["Overloaded on paper by"][0] == "70 kg"


def test_places_have_letters_and_the_seal(trip: Rental) -> None:
    rows = [(row.letter, row.title.own, row.words.own) for row in page_of(trip).places]
    assert rows == [
        ("A", "Diesel", "Blue cap: AUS 32"), ("B", "Gas", "Shut when driving"), ("C", "First aid kit", "seal 93412"),
    ]  # fmt: skip


def test_the_plan_is_drawn_with_every_letter(trip: Rental) -> None:
    page = page_of(trip)
    for svg in (page.screen_plan, page.paper_plan(300)):
        assert all(f">{letter}</text>" in svg for letter in "ABC")
    assert 'height="300"' in page.paper_plan(300)


def test_words_stand_on_the_side_of_the_kerb(trip: Rental) -> None:
    svg = page_of(trip).screen_plan
    assert svg.index("kerb side") < svg.index("road side")


def test_emergency_steps(trip: Rental) -> None:
    steps = [(step.title.own, step.number) for step in page_of(trip).steps]
    assert steps == [("Smell of gas", ""), ("Hurt, fire", "999 or 112"), ("Else", "01632 960407")]


def test_open_nights_say_so(trip: Rental) -> None:
    row = page_of(trip).nights[0]
    assert (row.day.own, row.place.own, row.by.own, row.by_words) == ("Fri 14", "open", "by daylight", True)


def test_a_planned_night_has_its_time(trip: Rental, isla: Person) -> None:
    """Half an hour before 21:06:56 on the branch's clock, the sunset there by ephem."""
    plan_for(trip, isla, a_night(trip, 0, "Ardnamoyle quay"))
    row = page_of(trip).nights[0]
    assert (row.place.own, row.by.own, row.by_words) == ("Ardnamoyle quay", "20:36", False)


@pytest.mark.parametrize(
    ("latitude", "month", "words"), [("78.2", 6, "light all night"), ("78.2", 12, "dark: lights on")]
)
def test_where_the_sun_keeps_no_hours(trip: Rental, isla: Person, latitude: str, month: int, words: str) -> None:
    first = datetime(2026, month, 14, 9, tzinfo=UTC)
    Rental.objects.filter(pk=trip.pk).update(planned_out_at=first, planned_back_at=first.replace(day=16))
    trip.refresh_from_db()
    plan_for(trip, isla, a_night(trip, 0, latitude=Decimal(latitude), longitude=Decimal(15)))
    assert page_of(trip).nights[0].by.own == words


def test_nights_by_place(trip: Rental, isla: Person) -> None:
    plan_for(trip, isla, a_night(trip, 0), *(a_night(trip, nth, "Sands", **SANDS) for nth in (1, 2)), a_night(trip, 3))
    rows = [(row.water.own, row.power.own) for row in page_of(trip).nights]
    assert rows == [
        ("90 L left", "plug in"), ("72 L left", "battery, 75 % next day"), ("54 L left", "battery, 60 % next day"),
        ("fill to 90 L, empty cassette", "plug in"),
    ]  # fmt: skip


def test_a_place_without_mains_asks_for_driving(trip: Rental, isla: Person) -> None:
    plan_for(trip, isla, *(a_night(trip, nth, **OFF) for nth in range(4)))
    assert [row.power.own for row in page_of(trip).nights][2:] == [
        "battery, drive 0.5 h more",
        "battery, drive 1 h more",
    ]


def test_an_open_place_asks_to_find_mains(trip: Rental) -> None:
    assert [row.power.own for row in page_of(trip).nights][2] == "find mains, plug in"


def test_what_cannot_do_is_said(trip: Rental, isla: Person) -> None:
    nights = [a_night(trip, nth, **OFF) for nth in range(4)]
    plan_for(trip, isla, *nights, party=PartySaid(12, "showers", Decimal(0)))
    row = page_of(trip).nights[-1]
    assert row.power.own == "not enough: use less, or find mains"
    assert "fill on the way, find a dump point" in row.water.own


def test_what_to_fill_and_to_empty(trip: Rental, isla: Person) -> None:
    plan_for(trip, isla, *(a_night(trip, nth) for nth in range(4)), party=PartySaid(4, "usual", Decimal(1)))
    assert [row.water.own for row in page_of(trip).nights][:2] == ["90 L left", "fill to 90 L, empty waste, cassette"]


def test_gas_left_night_by_night(trip: Rental) -> None:
    assert [row.gas.own for row in page_of(trip).nights] == ["5.9 kg", "5.9 kg", "5.8 kg", "5.7 kg"]


def test_gas_in_words(trip: Rental) -> None:
    assert texts(page_of(trip).gas) == [
        "6.0 kg of propane, about 11.8 L as liquid of 15 °C.",
        "Off mains it lasts 80 nights, at least 78, at 75 g a day.",
        "A cylinder here may hold 6.0 kg and never more; a filler stops at 80 % of its volume.",
    ]


def test_customs_say_whether_they_hold(trip: Rental) -> None:
    rows = [(row.custom.own, row.verdict.own, row.holds) for row in page_of(trip).practices]
    assert rows[0] == ("A full charge takes 14 to 16 hours on mains.", "Holds here.", True)
    assert rows[3] == ("Take on water every one to two days.", "Less is enough here.", False)


def test_advice_says_so_with_its_basis_and_caution(trip: Rental) -> None:
    page = page_of(trip)
    said = texts(page.small_print)
    assert "Be there by: 30 min before sunset on a level horizon." in said
    assert "Advice only: the handbook in the vehicle, its displays and road signs come first." in said
    assert any("dump points only" in words for words in said)
    assert any("weighbridge" in words for words in texts(page.whole_basis))


def test_the_party_is_drivers_or_two_until_it_is_said(trip: Rental, isla: Person) -> None:
    assert page_of(trip).people.own == "2 people"
    plan_for(trip, isla, party=PartySaid(1, "sparing", Decimal(1)))
    assert page_of(trip).people.own == "1 person"


def test_dates_are_the_branchs(trip: Rental) -> None:
    assert page_of(trip).dates.own == "14 Aug to 18 Aug 2026"


def test_a_long_trip_is_planned_for_a_month(trip: Rental) -> None:
    Rental.objects.filter(pk=trip.pk).update(planned_back_at=datetime(2026, 10, 14, 9, tzinfo=UTC))
    facts = facts_of(trip)
    assert (len(facts.plan.nights), facts.more_nights) == (MOST_NIGHTS, 30)


def test_a_day_trip_has_no_night(trip: Rental) -> None:
    Rental.objects.filter(pk=trip.pk).update(planned_back_at=datetime(2026, 8, 14, 17, tzinfo=UTC))
    assert days_of(Rental.objects.get()) == []
    assert page_of(trip).nights == []


def test_the_sun_of_the_branchs_places_is_counted_where_a_night_is_open(trip: Rental) -> None:
    assert facts_of(trip).plan.nights[0].stop.latitude == Decimal("57.775")
    NightPlace.objects.all().delete()
    assert facts_of(trip).plan.nights[0].stop.latitude is None


def test_frost_brings_its_warning(trip: Rental, isla: Person) -> None:
    plan_for(trip, isla, NightSaid(date(2026, 8, 14), frost=True))
    assert any(words.startswith("Frost: water pump off") for words in texts(page_of(trip).cautions))


def test_in_english_there_is_one_language(trip: Rental) -> None:
    page = page_of(trip)
    assert not page.is_in_two_languages
    assert all(not label.english for label in page.labels.values())
    assert page.tongues.missing == ""


def test_a_language_without_text_is_said_plainly(trip: Rental) -> None:
    page = page_of(trip, "nl")
    assert page.tongues.tag == "en-GB"
    assert page.tongues.missing.startswith("The customer’s language is not English (nl).")


def test_two_languages_stand_side_by_side() -> None:
    both = Tongues("de", "de").both(_language)
    assert both == Both("de", "en-gb")


def _language() -> str:
    from django.utils.translation import get_language

    return get_language() or ""


def test_every_word_of_the_card_is_said_in_both(trip: Rental, isla: Person) -> None:
    plan_for(trip, isla, a_night(trip, 0, "Ardnamoyle quay"), NightSaid(date(2026, 8, 15), frost=True))
    with spoken_instead_of("de"):
        page = page_of(trip, "de")
        assert page.tongues.missing == ""
    rows = [*page.labels.values(), *page.small_print, *page.whole_basis, *page.gas, page.people, page.dates, page.fuel]
    rows += [words for night in page.nights for words in (night.water, night.power, night.gas)]
    rows += [words for row in page.practices for words in (row.custom, row.verdict, row.why)]
    rows += [words for row in (*page.places, *page.steps) for words in (row.title,)]
    assert [row for row in rows if not (row.own.startswith("[!!!") and row.english)] == []


@pytest.mark.parametrize(
    ("wanted", "spoken"), [("de-CH", "de"), ("fr", "fr"), ("en", "en-gb"), ("ja", "en-gb"), ("", "en-gb")]
)
def test_the_nearest_language_of_the_pages(wanted: str, spoken: str) -> None:
    assert tongues_for(wanted).code == spoken


def test_labels_are_all_printed(trip: Rental) -> None:
    assert set(page_of(trip).labels) == set(LABELS)


def test_a_card_asks_the_database_no_more_often_for_more_nights(
    trip: Rental, isla: Person, django_assert_max_num_queries: object
) -> None:
    plan_for(trip, isla, *(a_night(trip, nth) for nth in range(4)), party=TWO)
    row = rentals_in_full().get(pk=trip.pk)
    with django_assert_max_num_queries(14):  # type: ignore[operator]
        card_facts(row)


def test_what_the_demos_cards_say_is_in_the_phrase_book() -> None:
    content = json.loads((settings.BASE_DIR / "fleet" / "demo" / "content" / "living.json").read_text(encoding="utf-8"))
    places = [row for layout in ("skerry", "machair") for row in content[layout]["places"]]
    steps = [row for rows in content["emergency"].values() for row in rows]
    written = {row[name] for row in (*places, *steps) for name in ("title", "words", "text") if name in row}
    assert written <= set(CARDS)


def test_names_of_gases_and_tables_are_in_the_phrase_book() -> None:
    tables = [table.name for chemistry in Chemistry for table in tables_for(chemistry)[:1]]
    assert {*tables, PROPANE.name, BUTANE.name} <= set(CARDS)
