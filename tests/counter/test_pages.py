"""The counter's pages: what they show, what their forms do, what they say when something cannot be."""

from collections.abc import Callable
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.http import HttpResponse
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from handover.counter.actions import object_to_line
from handover.counter.models import Objection, Refill, Reopening, Soiling, Waiver
from handover.photo.models import Photo
from handover.statement.models import Statement
from handover.walkround.models import Reading
from shared.access.models import Person
from shared.ids import uuid7
from tests.counter.conftest import LATER
from tests.counter.reading import due, result
from tests.factories import PASSWORD, PersonFactory, RentalFactory, an_act
from tests.playing import item, start

pytestmark = pytest.mark.django_db
MOST = 15


@pytest.fixture(autouse=True)
def afternoon(monkeypatch: pytest.MonkeyPatch) -> None:
    """The clock stands three hours after the return: within the time for late findings."""
    monkeypatch.setattr(timezone, "now", lambda: LATER)


@pytest.fixture
def as_callum(client: Client, callum: Person) -> Client:
    client.force_login(callum)
    return client


def send(client: Client, path: str, **said: Any) -> HttpResponse:
    return client.post(path, {"key": uuid7(), "price_key": uuid7(), **said})  # type: ignore[return-value]


def number_of(statement: Statement, code: str) -> int:
    return [line["code"] for line in result(statement)["lines"]].index(code) + 1


@pytest.fixture
def late(statement: Statement) -> str:
    return f"/statement/{statement.pk}/line/{number_of(statement, 'LATE')}/"


@pytest.fixture
def fuel(statement: Statement) -> str:
    return f"/statement/{statement.pk}/line/{number_of(statement, 'FUEL')}/"


def latest(statement: Statement) -> Statement:
    found = statement.rental.statements.last()
    assert found is not None
    return found


def test_the_statement_says_what_filling_up_saves(as_callum: Client, statement: Statement) -> None:
    page = as_callum.get(f"/rental/{statement.rental_id}/statement/").text
    assert "31.5 L at the yard pump, then read again: line 1 falls." in page
    assert "Save £18.63" in page


def test_every_line_leads_to_its_page(as_callum: Client, statement: Statement, late: str) -> None:
    assert f'href="{late}"' in as_callum.get(f"/rental/{statement.rental_id}/statement/").text


def test_a_waiver_makes_the_next_version(as_callum: Client, statement: Statement, late: str) -> None:
    answer = send(as_callum, f"{late}waive/", percent="50", reason="weather", words="Storm")
    assert answer.status_code == 302
    assert (latest(statement).version, due(latest(statement))["WAIVER"]) == (2, "-25.00")


def test_a_waiver_is_called_by_its_line(as_callum: Client, statement: Statement, late: str) -> None:
    send(as_callum, f"{late}waive/", percent="50", reason="weather", words="Storm")
    page = as_callum.get(f"/rental/{statement.rental_id}/statement/").text
    assert "Waived: Late return" in page
    assert "Waived and given back" in page


def test_what_was_typed_stays_but_no_password(as_callum: Client, late: str) -> None:
    said = {"amount": "49.99", "reason": "weather", "words": " ", "second_name": "ruth", "second_password": PASSWORD}
    answer = send(as_callum, f"{late}waive/", **said)
    assert answer.status_code == 422
    assert PASSWORD not in answer.text
    assert 'value="49.99"' in answer.text


@pytest.fixture
def low_limit(statement: Statement) -> None:
    rental = statement.rental
    assert rental.frozen is not None
    rental.frozen["rules"]["waivers"] = {"limits": {"return_bay": "30", "manager": None}}
    rental.save(update_fields=["frozen"])


ALL_OF_IT = {"percent": "100", "reason": "staff_error", "words": "Our clock was wrong"}


def test_a_second_person_confirms_at_the_tablet(
    as_callum: Client, low_limit: None, statement: Statement, late: str, callum: Person, ruth: Person
) -> None:
    answer = send(as_callum, f"{late}waive/", **ALL_OF_IT, second_name="ruth", second_password=PASSWORD)
    assert answer.status_code == 302
    assert Waiver.objects.get().second == ruth
    assert as_callum.session["_auth_user_id"] == str(callum.pk)


@pytest.mark.parametrize(
    ("who", "password", "sentence"),
    [
        ("ruth", "level-pegged", "Name and password do not go together."),
        ("callum", PASSWORD, "The second person is another one"),
        ("", "", "Someone with a higher limit can confirm."),
    ],
)
def test_who_does_not_confirm(
    as_callum: Client, low_limit: None, late: str, ruth: Person, who: str, password: str, sentence: str
) -> None:
    answer = send(as_callum, f"{late}waive/", **ALL_OF_IT, second_name=who, second_password=password)
    assert answer.status_code == 422
    assert sentence in answer.text
    assert not Waiver.objects.exists()


def test_taking_a_waiver_back(as_callum: Client, statement: Statement, late: str) -> None:
    send(as_callum, f"{late}waive/", percent="50", reason="weather", words="Storm")
    waiver = Waiver.objects.get()
    path = f"/statement/{latest(statement).pk}/line/{number_of(statement, 'LATE')}/withdraw/{waiver.pk}/"
    assert send(as_callum, path, words="").status_code == 422
    assert send(as_callum, path, words="Wrong line").status_code == 302
    assert "WAIVER" not in due(latest(statement))


def test_objecting_and_how_it_stands(as_callum: Client, statement: Statement, late: str) -> None:
    assert send(as_callum, f"{late}object/", words="The gate was shut.").status_code == 302
    objection = Objection.objects.get()
    assert objection.title == "Late return"
    send(as_callum, f"/objection/{objection.pk}/", outcome="disputed")
    page = as_callum.get(f"/rental/{statement.rental_id}/statement/").text
    assert f'“The gate was shut.” <a class="ph" href="/objection/{objection.pk}/">Disputed</a>' in page
    assert "objected, disputed" in page


def test_a_line_set_aside_is_still_reached(as_callum: Client, statement: Statement, late: str) -> None:
    send(as_callum, f"{late}object/", words="The gate was shut.")
    objection = Objection.objects.get()
    said = {"outcome": "deferred", "words": "the gate’s log", "most": "50", "until": "2026-08-25"}
    send(as_callum, f"/objection/{objection.pk}/", **said)
    assert "LATE" not in due(latest(statement))
    page = as_callum.get(f"/rental/{statement.rental_id}/statement/").text
    assert f'Late return: “The gate was shut.” <a href="/objection/{objection.pk}/">Deferred</a>' in page


def test_a_deferral_that_cannot_be_is_said_there(as_callum: Client, late: str) -> None:
    send(as_callum, f"{late}object/", words="The gate was shut.")
    objection = Objection.objects.get()
    answer = send(as_callum, f"/objection/{objection.pk}/", outcome="deferred", words="the police", most="50")
    assert answer.status_code == 422
    assert "Give the day until which it waits" in answer.text


def picture(shot: bytes) -> SimpleUploadedFile:
    return SimpleUploadedFile("gauge.jpg", shot, "image/jpeg")


def test_correcting_with_a_photo(as_callum: Client, statement: Statement, fuel: str, shot: bytes) -> None:
    gauge = Reading.objects.get(walk__kind="return", item__code="diesel")
    path = f"{fuel}correct/{gauge.pk}/"
    assert send(as_callum, path, typed="52", words="Photo").status_code == 422
    assert send(as_callum, path, typed="52", words="Photo", photo=picture(shot)).status_code == 302
    assert due(latest(statement))["FUEL"] == "11.34"


def test_no_photo_is_said_at_its_form(as_callum: Client, fuel: str) -> None:
    gauge = Reading.objects.get(walk__kind="return", item__code="diesel")
    answer = send(
        as_callum,
        f"{fuel}correct/{gauge.pk}/",
        typed="52",
        words="Text",
        photo=SimpleUploadedFile("a.txt", b"no photo"),
    )
    assert answer.status_code == 422
    assert not Photo.objects.exists()


def test_reading_again(as_callum: Client, statement: Statement) -> None:
    gauge = Reading.objects.get(walk__kind="return", item__code="diesel")
    path = f"/rental/{statement.rental_id}/read-again/"
    said = {"item": gauge.item_id, "typed": "82", "litres": "34,5"}
    answer = send(as_callum, path, **said, pumped_at="yesterday")
    assert (answer.status_code, "yesterday is no date and time." in answer.text) == (422, True)
    assert send(as_callum, path, **said, pumped_at="2026-08-18T13:20").status_code == 302
    assert str(Refill.objects.get().litres) == "34.500"
    assert "FUEL" not in due(latest(statement))


def test_opening_again(client: Client, settled: Statement, ruth: Person) -> None:
    client.force_login(ruth)
    path = f"/statement/{settled.pk}/reopen/"
    assert "Open version 1 again" in client.get(path).text
    assert send(client, path, cause="dispute", words=" ").status_code == 422
    assert send(client, path, cause="dispute", words="She rang").status_code == 302
    page = client.get(f"/rental/{settled.rental_id}/statement/").text
    assert "Version 1 came to £121.67; the difference is £0.00." in page
    assert "Dispute: She rang" in page
    assert Reopening.objects.count() == 1


def test_the_earlier_version_stays_on_its_page(client: Client, settled: Statement, ruth: Person) -> None:
    client.force_login(ruth)
    send(client, f"/statement/{settled.pk}/reopen/", cause="dispute", words="She rang")
    page = client.get(f"/rental/{settled.rental_id}/statement/1/").text
    assert "Version 1, as it was." in page
    assert "Record of version 1" in page


def test_a_zone_with_a_photo(as_callum: Client, statement: Statement, shot: bytes) -> None:
    path = f"/rental/{statement.rental_id}/found/"
    send(as_callum, f"{path}zone/", zone="interior", tier="heavy", cause="", photo=picture(shot))
    assert due(latest(statement))["CLEANING"] == "140.00"
    assert "1 photo" in as_callum.get(path).text


def test_a_photo_chosen_from_the_return(as_callum: Client, statement: Statement, shot: bytes) -> None:
    path = f"/rental/{statement.rental_id}/found/"
    send(as_callum, f"{path}zone/", zone="interior", tier="heavy", cause="", photo=picture(shot))
    send(as_callum, f"{path}zone/", zone="odour", tier="specialist", cause="smoke", photos=Photo.objects.get().pk)
    assert Soiling.objects.get(zone="odour").photos.get() == Photo.objects.get()


def test_without_a_photo_it_says_so(as_callum: Client, statement: Statement) -> None:
    path = f"/rental/{statement.rental_id}/found/"
    send(as_callum, f"{path}zone/", zone="interior", tier="heavy", cause="")
    assert "no photo: no charge can rest on this" in as_callum.get(path).text


@pytest.mark.parametrize(
    ("form", "said", "sentence"),
    [
        ("zone", {"zone": "wings", "tier": "heavy"}, "Choose the zone"),
        ("tanks", {"rubbish_bags": "2.5"}, "2.5 is not whole."),
        ("tanks", {"rubbish_bags": "99"}, "99 bags cannot be."),
        ("tanks", {"foul_water": "diesel", "foul_water_repair": "much"}, "“much” is no figure."),
        ("kit", {"kit": "first_aid", "report": "fire"}, "Give the report’s number"),
        ("thing", {"item": "straps", "state": "broken"}, "Choose one from the list."),
    ],
)
def test_findings_that_cannot_be(
    as_callum: Client, statement: Statement, form: str, said: dict[str, str], sentence: str
) -> None:
    answer = send(as_callum, f"/rental/{statement.rental_id}/found/{form}/", **said)
    assert answer.status_code == 422
    assert sentence in answer.text


def test_no_such_line(as_callum: Client, statement: Statement) -> None:
    assert as_callum.get(f"/statement/{statement.pk}/line/9/").status_code == 404


@pytest.mark.parametrize("path", ["waive/", "object/"])
def test_acts_are_posted(as_callum: Client, late: str, path: str) -> None:
    assert as_callum.get(late + path).status_code == 405


@pytest.fixture
def busy(statement: Statement, callum: Person, as_callum: Client, late: str, shot: bytes) -> Statement:
    """Everything at once: a waiver, three objections, findings with photos."""
    for words in ("The gate was shut.", "I rang.", "Traffic."):
        object_to_line(statement, code="LATE", ref="return", title="", words=words, act=an_act(callum, at=LATER))
    send(as_callum, f"{late}waive/", percent="50", reason="weather", words="Storm")
    for zone in ("interior", "exterior", "odour"):
        send(
            as_callum, f"/rental/{statement.rental_id}/found/zone/", zone=zone, tier="standard", cause="",
            photo=picture(shot),
        )  # fmt: skip
    return latest(statement)


PAGES: dict[str, Callable[[Statement], str]] = {
    "statement": lambda statement: f"/rental/{statement.rental_id}/statement/",
    "line": lambda statement: f"/statement/{statement.pk}/line/{number_of(statement, 'LATE')}/",
    "found": lambda statement: f"/rental/{statement.rental_id}/found/",
    "read again": lambda statement: f"/rental/{statement.rental_id}/read-again/",
    "objection": lambda statement: f"/objection/{statement.rental.objections.first().pk}/",  # type: ignore[union-attr]
}


@pytest.mark.parametrize("page", PAGES)
def test_queries(as_callum: Client, busy: Statement, page: str) -> None:
    with CaptureQueriesContext(connection) as queries:
        assert as_callum.get(PAGES[page](busy)).status_code == 200
    assert len(queries) <= MOST


@pytest.mark.parametrize("what", ["correct", "withdraw"])
def test_nothing_of_another_rental_is_reached_under_a_statement(
    as_callum: Client, statement: Statement, late: str, what: str
) -> None:
    other = RentalFactory()
    walk = start(other, "pickup", PersonFactory(username="ada"))
    gauge = Reading.objects.create(walk=walk, item_id=item(walk, "diesel").id, value=82, at=LATER, by=walk.started_by)
    said = {"code": "LATE", "ref": "return", "percent": 5, "reason": "weather", "at": LATER, "by": walk.started_by}
    row = gauge if what == "correct" else Waiver.objects.create(rental=other, **said)
    assert send(as_callum, f"{late}{what}/{row.pk}/", typed="80", words="Not mine").status_code == 404
