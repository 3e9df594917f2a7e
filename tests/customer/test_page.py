"""The customer's page: what is first, what it says, in whose language, and what keeps it from others."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils.translation import override

from fleet.models import EmergencyStep
from handover.customer.actions import make_link
from handover.customer.models import CustomerLink
from handover.customer.token import token_of
from handover.record.models import Record
from handover.rental.models import Customer, Rental
from handover.statement.models import Statement
from shared.access.models import Person
from shared.files.store import keep
from tests.customer.conftest import AFTER, ON_THE_TRIP, at
from tests.factories import RentalFactory, UnitFactory, an_act
from tests.playing import go

pytestmark = pytest.mark.django_db
PAGES = ("", "cab-card/", "topics/", "statement/", "statement/1/", "late/", "report/")
MOST = 20


@pytest.fixture
def record(out: Rental) -> Record:
    row = Record.objects.get(rental=out)
    file = keep(b"%PDF-1.7 the record", suffix=".pdf")
    row.state, row.file, row.size, row.pdf_sha256 = "ready", file.name, file.size, file.sha256
    row.save()
    return row


def test_the_way_on_comes_first(phone: Client, here: str) -> None:
    text = phone.get(here).text
    assert text.index("Something is not right") < text.index("Bring it back like this") < text.index("Cab card")


def test_how_it_comes_back(phone: Client, here: str) -> None:
    text = phone.get(here).text
    assert "up to the 82.0 L mark" in text
    assert "20\u00a0L prepaid. You may bring it back 20\u00a0L lower and owe nothing for fuel." in text
    assert "Waste water empty" in text
    assert "First aid kit unopened, or say why" in text


def test_full_to_full_is_brought_back_full(phone: Client, here: str, out: Rental) -> None:
    out.frozen["rules"]["fuel"]["policy"] = "full_to_full"  # type: ignore[index]
    out.save()
    text = phone.get(here).text
    assert "<span>full</span>" in text
    assert "bring back 90.0 L of 90.0 L" in text


@pytest.mark.parametrize(
    ("days", "heading"), [(0, "Day 2 of 5"), (3, "Day 5 of 5"), (4, "Was due back 18 Aug 2026"), (-3, "Day 1 of 5")]
)
def test_which_day_it_is(phone: Client, here: str, days: int, heading: str, monkeypatch: pytest.MonkeyPatch) -> None:
    at(monkeypatch, ON_THE_TRIP + timedelta(days=days))
    assert f"<h1>{heading}</h1>" in phone.get(here).text


@pytest.mark.parametrize(
    ("state", "heading"),
    [("booked", "Pickup Friday 14 August, 10:00"), ("return", "Being taken back"), ("settled", "Back and settled")],
)
def test_where_it_stands(phone: Client, here: str, out: Rental, state: str, heading: str) -> None:
    Rental.objects.filter(pk=out.pk).update(state=state)
    assert f"<h1>{heading}</h1>" in phone.get(here).text


def test_the_days_are_said_for_the_ear(phone: Client, here: str) -> None:
    assert "Friday to Tuesday. Today is Saturday. Back by Tuesday 11:00." in phone.get(here).text


@pytest.mark.parametrize(
    ("number", "seen"),
    [
        ("999", 'href="tel:999"'),
        ("01632 960407", 'href="tel:01632960407"'),
        ("999 or 112", ">999 or 112<"),
        ("", "Stop"),
    ],
)
def test_a_number_to_ring_is_one_press(phone: Client, here: str, out: Rental, number: str, seen: str) -> None:
    EmergencyStep.objects.create(branch=out.branch, title="Fire", text="Stop, all out.", number=number)
    text = phone.get(here).text
    assert seen in text
    assert ("tel:" in text) == ("tel:" in seen)


def test_a_record_is_there_to_take_along(phone: Client, here: str, record: Record) -> None:
    text = phone.get(here).text
    assert f"{here}record/{record.pk}/" in text
    assert f"SHA-256 {record.pdf_sha256[:4]} " in text
    answer = phone.get(f"{here}record/{record.pk}/?download")
    assert answer.content == b"%PDF-1.7 the record"
    assert answer["Content-Disposition"] == f'attachment; filename="{record.rental.number}-pickup-1.pdf"'


def test_a_file_that_is_not_what_was_kept_is_not_handed_out(phone: Client, here: str, record: Record) -> None:
    Record.objects.filter(pk=record.pk).update(file=f"00/00/{'0' * 64}.pdf")
    assert "Record: not here now" in phone.get(here).text
    assert phone.get(f"{here}record/{record.pk}/").status_code == 302


def test_a_record_being_made(phone: Client, here: str, out: Rental) -> None:
    assert "Record: being made" in phone.get(here).text


def test_the_topics_can_be_read_again(phone: Client, here: str, out: Rental) -> None:
    assert "2 topics of the briefing" in phone.get(here).text
    text = phone.get(f"{here}topics/").text
    assert "Shut both valves before driving." in text
    assert "the handbook in the cab comes first" in text


def test_the_cab_card_is_behind_it(phone: Client, here: str) -> None:
    answer = phone.get(f"{here}cab-card/")
    assert "2.85 m" in answer.text
    assert answer["Cache-Control"] == "private, max-age=3600"


def test_what_is_owed_once_it_is_priced(phone: Client, here: str, statement: Statement) -> None:
    text = phone.get(here).text
    assert "£121.67" in text
    assert "Bring it back like this" not in text


@pytest.mark.parametrize("of", PAGES)
def test_nothing_of_it_is_told_to_others(phone: Client, here: str, statement: Statement, of: str) -> None:
    answer = phone.get(f"{here}{of}")
    assert answer.status_code == 200
    assert answer["Referrer-Policy"] == "no-referrer"
    assert answer["X-Robots-Tag"] == "noindex, nofollow"
    assert "no-store" in answer["Cache-Control"] or of == "cab-card/"
    assert "<script" not in answer.text
    assert 'href="/rental/' not in answer.text


def test_nothing_of_it_is_told_where_it_is_closed(phone: Client) -> None:
    answer = phone.get("/c/nothing/")
    assert answer["Referrer-Policy"] == "no-referrer"
    assert "noindex" in answer["X-Robots-Tag"]


@pytest.mark.parametrize(
    ("language", "tag"), [("en", "en-GB"), ("de", "de"), ("fr-CA", "fr"), ("nl", "en-GB"), ("ar", "en-GB")]
)
def test_it_speaks_the_language_of_the_briefing(phone: Client, here: str, out: Rental, language: str, tag: str) -> None:
    Customer.objects.update(language=language)
    answer = phone.get(here, headers={"accept-language": "fr"})
    assert f'<html lang="{tag}">' in answer.text


def test_another_language_is_one_press_away(phone: Client, here: str) -> None:
    assert '<html lang="de">' in phone.get(f"{here}?in=de").text
    assert '<html lang="de">' in phone.get(f"{here}report/").text
    assert '<html lang="en-GB">' in Client().get(here).text
    assert '<html lang="en-GB">' in Client().get(f"{here}?in=xx").text


def test_the_active_language_is_left_as_it_was(phone: Client, here: str) -> None:
    with override("fr"):
        phone.get(here)
        assert phone.get(here)["Content-Language"] == "en-gb"


def test_a_signed_in_host_sees_it_as_the_customer_does(as_isla: Client, here: str) -> None:
    assert "Isla" not in as_isla.get(here).text


@pytest.fixture
def others(link: CustomerLink, isla: Person, unit_305: str = "305") -> Rental:
    rental = RentalFactory(leg=UnitFactory(number="305", odometer_km=41_000))
    go(rental, isla, diesel="82", odometer="41206", gas_front="11.7")
    return rental


def test_what_is_another_rentals_is_not_there(phone: Client, here: str, others: Rental, isla: Person) -> None:
    """Its records and photos by their ids, its page by its own link alone."""
    record = Record.objects.get(rental=others)
    assert phone.get(f"{here}record/{record.pk}/").status_code == 404
    mine = phone.get(here).text
    assert others.number not in mine
    assert "LRK 305" not in mine
    theirs = make_link(others, act=an_act(isla, at=ON_THE_TRIP))
    assert "LRK 305" in phone.get(f"/c/{token_of(theirs)}/").text


def test_the_page_asks_a_fixed_number_of_times(phone: Client, here: str, statement: Statement) -> None:
    with CaptureQueriesContext(connection) as queries:
        phone.get(here)
    assert len(queries) <= MOST


def test_the_statement_asks_a_fixed_number_of_times(phone: Client, here: str, statement: Statement) -> None:
    phone.get(here)
    with CaptureQueriesContext(connection) as queries:
        phone.get(f"{here}statement/")
    assert len(queries) <= MOST


def test_only_forms_are_posted(phone: Client, here: str, statement: Statement) -> None:
    for page in ("", "cab-card/", "topics/", "statement/"):
        assert phone.post(f"{here}{page}").status_code == 405


def test_after_the_return_the_page_stays(
    phone: Client, here: str, statement: Statement, monkeypatch: pytest.MonkeyPatch
) -> None:
    at(monkeypatch, AFTER)
    assert phone.get(here).status_code == 200
