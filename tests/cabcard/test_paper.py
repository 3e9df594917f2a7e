"""The card on paper: one A4 page for each of the demo's layouts, however long the trip, in one language or two."""

import re
import subprocess
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from django.conf import settings
from weasyprint import Document

from fleet.demo.loading import DemoFleet, load_fleet
from fleet.drawing.shapes import HEX
from fleet.models import EmergencyStep
from handover.cabcard.actions import NightSaid
from handover.cabcard.render import card_pdf, laid_out
from handover.cabcard.rows import CardPage
from handover.cabcard.tongues import Both
from handover.rental.models import Rental
from shared.access.models import Person
from tests.cabcard.conftest import a_night, page_of, plan_for
from tests.factories import RentalFactory
from tests.pseudo import spoken_instead_of

pytestmark = pytest.mark.django_db
OUT_AT = datetime(2026, 8, 14, 9, tzinfo=UTC)


@pytest.fixture(scope="module")
def kept_fleet(kept_for_module: None) -> DemoFleet:
    return load_fleet(today=date(2026, 8, 14))


@pytest.fixture
def fleet(kept_fleet: DemoFleet, db: None) -> DemoFleet:
    """Its rows are only looked at."""
    return kept_fleet


def rental_of(fleet: DemoFleet, unit: str, nights: int) -> Rental:
    """Every night planned, with the longest names that places have here."""
    vehicle = fleet.units[unit]
    rental: Rental = RentalFactory(
        branch=vehicle.branch,
        leg=vehicle,
        planned_out_at=OUT_AT,
        planned_back_at=OUT_AT + timedelta(days=nights, hours=5),
    )
    plan_for(rental, fleet.people["maeve"], *_places(rental, nights))
    return rental


def _places(rental: Rental, nights: int) -> list[NightSaid]:
    places = list(rental.branch.night_places.all())
    chosen = [places[nth % len(places)] for nth in range(min(nights, 31))]
    return [
        a_night(rental, nth, place.name, mains=place.mains, water=place.water, waste=place.waste)
        for nth, place in enumerate(chosen)
    ]


def printed(page: CardPage) -> tuple[int, str]:
    """Pages, and the text on them."""
    pdf = card_pdf(page, printed_at="printed 14 Aug 2026 10:40")
    assert "595.276 x 841.89 pts (A4)" in tool("pdfinfo", pdf)
    return words_on(pdf)


def words_on(pdf: bytes) -> tuple[int, str]:
    words = tool("pdftotext", pdf, "-")
    return words.count("\f"), " ".join(words.split())


def tool(name: str, pdf: bytes, *more: str) -> str:
    done = subprocess.run([name, "-", *more], input=pdf, capture_output=True, check=True)
    return done.stdout.decode()


def laid(page: CardPage) -> Document:
    return laid_out(page, printed_at="printed 14 Aug 2026 10:40")


def pages(page: CardPage) -> int:
    return len(laid(page).pages)


def tallest(card: Document) -> float:
    boxes = card.pages[0]._page_box.descendants()
    return round(max(box.style["font_size"] for box in boxes) * 0.75)


@pytest.mark.parametrize("unit", ["407", "271"])
def test_it_fits_one_page_however_long_the_trip(fleet: DemoFleet, unit: str) -> None:
    """A short trip has room for large figures: the height's letters are 60 pt tall there, and smaller on a long one.

    A long trip says where the rest of its nights stands.
    """
    cards = {nights: laid(page_of(rental_of(fleet, unit, nights))) for nights in (0, 1, 4, 7, 12)}
    assert {nights: len(card.pages) for nights, card in cards.items()} == dict.fromkeys(cards, 1)
    assert tallest(cards[4]) == 60 > tallest(cards[12]) >= 34
    assert "Later nights stand on the phone page" in words_on(cards[12].write_pdf())[1]


@pytest.mark.parametrize("unit", ["407", "271"])
def test_in_two_long_languages_it_fits_one_page(fleet: DemoFleet, unit: str) -> None:
    """Every text a third longer than the English that stands beside it."""
    with spoken_instead_of("de"):
        page = page_of(rental_of(fleet, unit, 21), "de")
    assert page.is_in_two_languages
    assert pages(page) == 1


def test_with_more_to_do_in_need_it_fits_one_page(fleet: DemoFleet) -> None:
    for nth in range(3):
        EmergencyStep.objects.create(branch=fleet.branches["inverlark"], order=9, title=f"More {nth}", text="x " * 50)
    assert pages(page_of(rental_of(fleet, "407", 7))) == 1


def test_what_is_printed(trip: Rental, isla: Person) -> None:
    plan_for(trip, isla, a_night(trip, 0, "Ardnamoyle quay"))
    words = printed(page_of(trip))[1]
    for said in (
        "Unit 407", "LRK 407", "Maren Oduya, 14 Aug to 18 Aug 2026", "2.85 m", "9 ft 5 in", "Diesel",
        "Never AUS 32 in this tank", "Ardnamoyle quay", "20:36", "seal 93412", "999 or 112", "Keep in the cab",
        "Advice only", "printed 14 Aug 2026 10:40",
    ):  # fmt: skip
        assert said in words


def test_what_must_not_go_is_printed(trip: Rental) -> None:
    page = replace(page_of(trip), stops=[Both("Cylinder A holds 6.3 kg: it does not go out.")])
    assert "it does not go out" in printed(page)[1]


def test_a_name_in_another_script_is_drawn(trip: Rental) -> None:
    trip.customer.name = "Ελένη Παππά"
    trip.customer.save()
    assert "Ελένη Παππά" in printed(page_of(trip))[1]


def test_nothing_but_its_own_parts_is_fetched(trip: Rental, monkeypatch: pytest.MonkeyPatch) -> None:
    trip.customer.name = '<img src="http://192.0.2.1/x.png">'
    trip.customer.save()
    asked: list[Any] = []
    monkeypatch.setattr("urllib.request.urlopen", lambda *args, **kwargs: asked.append(args))
    assert len(laid_out(page_of(trip), printed_at="").pages) == 1
    assert asked == []


def test_every_colour_of_the_paper_is_one_of_ours() -> None:
    style = (settings.BASE_DIR / "templates" / "cabcard" / "paper.css").read_text(encoding="utf-8")
    assert "var(" not in style
    assert set(re.findall(r"#[0-9a-f]{3,6}\b", style)) <= {*HEX.values(), "#fff", "#c9d0c6", "#a30f2d"}
