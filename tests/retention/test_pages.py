"""The pages: days a kind, holds, what is held of a person; and pages of an erased rental, which still open."""

from pathlib import Path
from typing import Any

import pytest
from django.core.files.storage import storages
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from fleet.models import Branch
from handover.photo.models import Photo
from handover.record.models import Record
from handover.rental.models import Rental
from handover.retention.kinds import Kind
from handover.retention.models import LegalHold, RetentionTerm
from handover.walkround.models import WalkRound
from shared.access.models import Person
from shared.files.store import keep, remove
from shared.ids import uuid7
from shared.ledger.models import Entry
from shared.ledger.verifying import verify_all
from tests.factories import UnitFactory
from tests.retention import playing
from tests.retention.conftest import SOON, at, erased

pytestmark = pytest.mark.django_db
RETENTION = "/branch/inverlark/retention/"


@pytest.fixture
def as_anders(client: Client, anders: Person) -> Client:
    client.force_login(anders)
    return client


@pytest.fixture
def as_ruth(client: Client, ruth: Person) -> Client:
    client.force_login(ruth)
    return client


def days(client: Client, **typed: str) -> Any:
    return client.post(f"{RETENTION}terms/", {"key": str(uuid7()), **typed})


def test_an_administrator_sets_the_days(as_anders: Client, inverlark: Branch) -> None:
    assert days(as_anders, photos="180", name="3650").status_code == 302
    assert list(RetentionTerm.objects.values_list("kind", "days")) == [("photos", 180)]
    assert Entry.objects.get(kind="retention.terms_set").payload == '{"days":{"photos":{"now":180,"was":365}}}'
    assert 'name="photos" value="180"' in as_anders.get(RETENTION).text
    assert list(verify_all()) == []


@pytest.mark.parametrize("typed", ["0", "36501", "a year", "", "-1", "1.5", "٣", "9" * 400])
def test_days_that_cannot_be_are_said_at_the_kind(as_anders: Client, inverlark: Branch, typed: str) -> None:
    answer = days(as_anders, words=typed, phone="100")
    assert answer.status_code == 422
    assert "is no number of days. Write 1 to 36500; nothing was changed." in answer.text
    assert 'name="phone" value="100"' in answer.text
    assert not RetentionTerm.objects.exists()


def test_a_manager_reads_the_days_only(as_ruth: Client, inverlark: Branch) -> None:
    text = as_ruth.get(RETENTION).text
    assert text.count(" readonly") == len(Kind)
    assert "An administrator changes them." in text


def hold(client: Client, rental: Rental, **said: str) -> Any:
    with at(SOON):
        return client.post(f"/rental/{rental.pk}/legal-hold/", {"key": str(uuid7()), **said})


def test_a_hold_is_placed_told_and_lifted(as_ruth: Client, settled: Rental) -> None:
    assert hold(as_ruth, settled, reason="A claim of the insurer", until="2028-05-01").status_code == 302
    row = LegalHold.objects.get()
    with at(SOON):
        assert "Legal hold: A claim of the insurer" in as_ruth.get(f"/customer/{settled.customer_id}/data/").text
    assert f"{settled.number}: A claim of the insurer" in as_ruth.get(RETENTION).text
    assert "insurer" not in Entry.objects.get(kind="hold.placed").payload
    assert as_ruth.post(f"/legal-hold/{row.pk}/lift/", {"key": str(uuid7())}).status_code == 302
    row.refresh_from_db()
    assert row.lifted_at
    assert as_ruth.post(f"/legal-hold/{row.pk}/lift/", {"key": str(uuid7())}).status_code == 422
    assert list(verify_all()) == []


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"reason": " "}, "Say why nothing of this rental may go"),
        ({"reason": "x", "until": "2020-01-01"}, "over already"),
        ({"reason": "x", "until": "soon"}, "is no day"),
        ({"reason": "x" * 301}, "There is room for 300 letters"),
    ],
)
def test_a_hold_that_cannot_be(as_ruth: Client, settled: Rental, said: dict[str, str], sentence: str) -> None:
    answer = hold(as_ruth, settled, **said)
    assert answer.status_code == 422
    assert sentence in answer.text
    assert not LegalHold.objects.exists()


def test_pages_of_an_erased_rental_open_and_say_so(
    settled: Rental, statement: object, as_ruth: Client, after_commit: Any
) -> None:
    made = Record.objects.filter(rental=settled).first()
    with after_commit():
        erased(settled)
    walks = [f"/walk/{pk}/" for pk in WalkRound.objects.values_list("pk", flat=True)]
    rental = f"/rental/{settled.pk}/"
    pages = [rental, f"{rental}statement/", f"/record/{made.pk}/" if made else rental, f"{rental}customer/",
             f"/customer/{settled.customer_id}/data/", RETENTION, *walks]  # fmt: skip
    texts = {page: as_ruth.get(page, follow=True) for page in pages}
    assert {page: answer.status_code for page, answer in texts.items()} == dict.fromkeys(pages, 200)
    assert not any(playing.NAME in answer.text for answer in texts.values())
    for page in pages[:2]:
        assert "Erased on 5 Jan 2037 by schedule." in texts[page].text


def test_an_erased_photo_is_a_picture_that_says_so(settled: Rental, as_ruth: Client, after_commit: Any) -> None:
    photo = Photo.objects.get(view="cab")
    assert as_ruth.get(f"/photo/{photo.pk}/thumb/").status_code == 200
    with after_commit():
        erased(settled)
    answer = as_ruth.get(f"/photo/{photo.pk}/thumb/")
    assert (answer.status_code, answer.headers["Content-Type"]) == (410, "image/svg+xml")
    assert "Erased on 5 Jan 2037 by schedule." in answer.text
    assert as_ruth.get(f"/photo/{photo.pk}/thumb/", headers={"accept": "text/html"}).status_code == 410


@pytest.mark.parametrize("way", ["lost", "altered"])
def test_a_photo_that_is_not_as_it_was_kept_is_not_shown_and_says_so(
    settled: Rental, as_ruth: Client, caplog: pytest.LogCaptureFixture, way: str
) -> None:
    """Nobody erased it: that stands in the log, and no page breaks."""
    photo, kept = Photo.objects.get(view="cab"), keep(b"the thumb of this test", suffix=".jpg")
    Photo.objects.filter(pk=photo.pk).update(thumb=kept.name)
    remove(kept.name)
    if way == "altered":
        Path(storages["evidence"].path(kept.name)).write_bytes(b"other")
    sentence = "This file is not as it was kept" if way == "altered" else "This file is missing in the store."
    answer = as_ruth.get(f"/photo/{photo.pk}/thumb/")
    assert (answer.status_code, answer.headers["Content-Type"]) == (404, "image/svg+xml")
    assert sentence in answer.text
    page = as_ruth.get(f"/photo/{photo.pk}/thumb/", headers={"accept": "text/html"})
    assert (page.status_code, sentence in page.text, "Erased" in page.text) == (404, True, False)
    assert kept.name in caplog.text
    remove(kept.name)


def test_an_erased_record_is_no_altered_one(
    settled: Rental, as_ruth: Client, client: Client, after_commit: Any
) -> None:
    """The page of the Record and the public page say when it went, and by what."""
    Record.objects.filter(rental=settled).delete()
    kept = keep(b"%PDF-1.7 names a person", suffix=".pdf")
    row = Record.objects.create(
        rental=settled, leg=settled.legs.get(), kind="return", code="7Q4M-2KXD", file=kept.name, state="ready",
        pdf_sha256=kept.sha256, made_at=playing.LATER,
    )  # fmt: skip
    with after_commit():
        erased(settled)
    for page in (f"/record/{row.pk}/check/", f"/check/{settled.number}/7Q4M-2KXD/"):
        text = client.get(page).text
        assert "Erased on 5 Jan 2037 by schedule." in text
        assert "<b>Erased.</b>" in text
        assert kept.sha256 in text


def asked(client: Client, path: str) -> int:
    with CaptureQueriesContext(connection) as queries:
        assert client.get(path).status_code == 200
    return len(queries)


def test_the_pages_ask_no_more_for_more(as_ruth: Client, ruth: Person, settled: Rental, inverlark: Branch) -> None:
    person = f"/customer/{settled.customer_id}/data/"
    as_ruth.get(person)
    few = asked(as_ruth, person), asked(as_ruth, RETENTION)
    for number in range(408, 413):
        more = playing.booked(inverlark, ruth, unit=UnitFactory(number=str(number)))
        Rental.objects.filter(pk=more.pk).update(customer=settled.customer)
        LegalHold.objects.create(rental=more, reason="A claim", at=SOON, by=ruth)
    assert (asked(as_ruth, person), asked(as_ruth, RETENTION)) == few
    assert few[0] <= 85
    assert few[1] <= 12
