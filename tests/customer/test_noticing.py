"""Something is not right: kept with its time beside what was signed, which stays as it is."""

from datetime import timedelta
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.handlers.wsgi import WSGIRequest
from django.test import Client, override_settings

from handover.customer.actions.noticing import MOST_IN_AN_HOUR
from handover.customer.models import CustomerTerms, Noticed, NoticedPhoto
from handover.photo import taking_in, uploading
from handover.record.models import Record
from handover.rental.models import Rental
from handover.statement.models import Signature
from handover.walkround.document import shown_digest
from handover.walkround.models import CheckAnswer, Mark, Reading, WalkRound
from shared.files.store import read
from shared.ids import uuid7
from shared.ledger.models import Entry, PersonalValue
from shared.ledger.verifying import verify_chain
from tests.customer.conftest import ON_THE_TRIP, at, key
from tests.factories import BACK_AT, NINE, UnitFactory
from tests.photos.hostile import REFUSED
from tests.photos.pictures import quarters, saved
from tests.playing import start

pytestmark = pytest.mark.django_db
WORDS = "A dent under the rear window, about as long as a hand."


def a_photo(name: str = "dent.jpg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, saved(quarters(), "JPEG"), "image/jpeg")


def report(phone: Client, here: str, **said: Any) -> Any:
    return phone.post(f"{here}report/", {**key(), "words": WORDS, **said})


def test_it_is_kept_with_words_place_and_photos(phone: Client, here: str, out: Rental) -> None:
    answer = report(phone, here, station="2", place="low on the door", photo=[a_photo(), a_photo()])
    assert answer.status_code == 302
    row = Noticed.objects.get()
    assert (row.rental, row.words, row.station_number, row.place) == (out, WORDS, 2, "low on the door")
    assert row.photos.count() == 2
    text = phone.get(answer["Location"]).text
    assert WORDS in text
    assert "in time to count as there at pickup" in text


def test_a_photo_is_freed_of_its_place_and_shown(phone: Client, here: str) -> None:
    report(phone, here, photo=a_photo())
    photo = NoticedPhoto.objects.get()
    assert read(photo.original).startswith(b"\xff\xd8\xff")
    shown = phone.get(f"{here}told/{photo.pk}/")
    assert shown["Content-Type"] == "image/jpeg"
    assert shown.content == read(photo.display)


def test_what_was_signed_stays_as_it_is(phone: Client, here: str, out: Rental) -> None:
    before = signed_state(out)
    report(phone, here, station="2", photo=a_photo())
    assert signed_state(out) == before


def signed_state(rental: Rental) -> list[Any]:
    """What both put their names under, and what was made of it."""
    tables = (Record, Signature, Mark, Reading, CheckAnswer)
    return [
        shown_digest(WalkRound.objects.get(leg__rental=rental)),
        *(list(table.objects.values()) for table in tables),
    ]


def test_the_ledger_tells_of_it_without_a_persons_words(phone: Client, here: str, out: Rental) -> None:
    report(phone, here, place="beside Maren’s bicycle", photo=a_photo())
    entry = Entry.objects.get(kind="customer.noticed")
    assert (entry.chain, entry.actor, entry.subject) == (out.pk, None, Noticed.objects.get().pk)
    assert WORDS not in entry.payload
    assert "bicycle" not in entry.payload
    assert NoticedPhoto.objects.get().kept_sha256 in entry.payload
    assert PersonalValue.objects.filter(value=WORDS).exists()
    assert list(verify_chain(out.pk)) == []


@pytest.mark.parametrize(("hours", "in_time"), [(0, True), (24, True), (25, False)])
def test_within_the_hours_of_the_branch_it_is_in_time(
    phone: Client, here: str, hours: int, in_time: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    at(monkeypatch, NINE + timedelta(hours=hours))
    report(phone, here)
    row = Noticed.objects.get()
    assert (row.hours_after_pickup, row.in_time) == (hours, in_time)


def test_a_branch_has_hours_of_its_own(phone: Client, here: str, out: Rental) -> None:
    CustomerTerms.objects.create(branch=out.branch, link_days=90, notice_hours=12)
    assert "Within 12 hours of pickup" in phone.get(f"{here}report/").text
    report(phone, here)
    assert not Noticed.objects.get().in_time


@pytest.mark.usefixtures("statement")
def test_after_the_return_until_objections_end(phone: Client, here: str, monkeypatch: pytest.MonkeyPatch) -> None:
    for after, status, rows in ((timedelta(days=14), 302, 1), (timedelta(days=15), 422, 1)):
        at(monkeypatch, BACK_AT + timedelta(minutes=107) + after)
        answer = report(phone, here)
        assert (answer.status_code, Noticed.objects.count()) == (status, rows)
    assert "The time to report something here is over." in answer.text or "Nothing can be reported" in answer.text


def test_before_the_pickup_is_signed_the_host_is_told(phone: Client, here: str, out: Rental) -> None:
    Rental.objects.filter(pk=out.pk).update(frozen_at=None)
    out.legs.update(started_at=None)
    assert "Before the pickup is signed, tell the host" in phone.get(f"{here}report/").text
    assert report(phone, here).status_code == 422


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"words": "  "}, "Nothing is written yet."),
        ({"words": "x" * 1001}, "There is room for 1000 letters here; these are 1001."),
        ({"words": "a\0b"}, "A zero byte is in this text"),
        ({"place": "x" * 121}, "There is room for 120 letters here"),
        ({"station": "77"}, "Choose a place of the list."),
        ({"station": "٣"}, "Choose a place of the list."),
        ({"mark": "nothing"}, "Choose a mark of the list."),
        ({"mark": "01890000-0000-7000-8000-000000000000"}, "Choose a mark of the list."),
        ({"key": ""}, "This form has no key."),
    ],
)
def test_what_cannot_be_is_a_sentence(phone: Client, here: str, said: dict[str, str], sentence: str) -> None:
    answer = report(phone, here, **said)
    assert answer.status_code == 422
    assert sentence in answer.text
    assert not Noticed.objects.exists()


def test_the_words_stay_where_a_photo_cannot_be(phone: Client, here: str) -> None:
    answer = report(phone, here, photo=SimpleUploadedFile("a.jpg", b"GIF89a and no more"))
    assert answer.status_code == 422
    assert WORDS in answer.text
    assert "This file is a GIF picture, not a photo." in answer.text


def test_every_hostile_file_is_refused_in_a_sentence(phone: Client, here: str) -> None:
    for name, data, _begins in REFUSED:
        answer = report(phone, here, photo=SimpleUploadedFile("a.jpg", data or b" "))
        assert answer.status_code == 422, name
        assert 'role="alert"' in answer.text, name
    assert not Noticed.objects.exists()


@override_settings(PHOTO_MAX_BYTES=1024)
def test_a_file_too_large_is_refused_before_it_is_kept(phone: Client, here: str) -> None:
    answer = report(phone, here, photo=SimpleUploadedFile("a.jpg", b"\xff\xd8\xff" + b"0" * 4096))
    assert answer.status_code == 422
    assert "This file has more than" in answer.text


@override_settings(PHOTO_MAX_BYTES=1024)
def test_what_is_announced_too_long_is_not_read(phone: Client, here: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(uploading, "FIELDS", 100)
    monkeypatch.setattr(WSGIRequest, "_load_post_and_files", lambda request: pytest.fail("the body was read"))
    for page in ("report/", "statement/1/"):
        answer = phone.post(f"{here}{page}", {"photo": SimpleUploadedFile("a.jpg", b"0" * 9000)})
        assert answer.status_code in {404, 422}


def test_more_photos_than_a_report_has_room_for(phone: Client, here: str) -> None:
    answer = report(phone, here, photo=[a_photo() for _ in range(5)])
    assert "4 photos can be sent with this." in answer.text


def test_sent_again_it_is_kept_once(phone: Client, here: str) -> None:
    once = key()
    for _ in range(2):
        assert report(phone, here, **once).status_code == 302
    assert Noticed.objects.count() == 1


def test_a_flood_is_stopped(phone: Client, here: str) -> None:
    for _ in range(MOST_IN_AN_HOUR):
        report(phone, here)
    answer = report(phone, here)
    assert answer.status_code == 422
    assert "Many reports came in a short time" in answer.text
    assert Noticed.objects.count() == MOST_IN_AN_HOUR


def test_staff_see_it_on_the_rental(phone: Client, here: str, as_isla: Client, out: Rental) -> None:
    report(phone, here, station="2", photo=a_photo())
    text = as_isla.get(f"/rental/{out.pk}/").text
    assert WORDS in text
    assert "Station 2" in text
    assert "23 h after pickup: in time" in text
    assert f"/noticed-photo/{NoticedPhoto.objects.get().pk}/" in text


def test_it_stands_beside_what_the_return_finds(
    phone: Client, here: str, as_isla: Client, out: Rental, isla: Any
) -> None:
    report(phone, here, station="2")
    walk = start(out, "return", isla, at=BACK_AT, arrived_at=BACK_AT)
    assert WORDS in as_isla.get(f"/walk/{walk.pk}/station/2/").text
    assert WORDS not in as_isla.get(f"/walk/{walk.pk}/station/1/").text


def test_a_mark_that_was_known_can_be_named(phone: Client, here: str, out: Rental, isla: Any) -> None:
    mark = Mark.objects.create(
        unit=out.legs.get().unit, number=7, station_number=2, kind="dent", place="door", size_mm=40, x_mm=0, y_mm=0,
        found_at=NINE - timedelta(days=3), found_by=isla,
    )  # fmt: skip
    assert f'value="{mark.pk}"' in phone.get(f"{here}report/").text
    report(phone, here, mark=str(mark.pk))
    assert Noticed.objects.get().mark == mark


def test_another_units_mark_cannot(phone: Client, here: str, isla: Any) -> None:
    other = Mark.objects.create(
        unit=UnitFactory(number="305"), number=1, station_number=2, kind="dent", place="door", size_mm=40, x_mm=0,
        y_mm=0, found_at=ON_THE_TRIP, found_by=isla,
    )  # fmt: skip
    assert report(phone, here, mark=str(other.pk)).status_code == 422


@pytest.fixture
def keeps(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The suffix of each file that goes into the store."""
    kept: list[str] = []
    real = taking_in.keep
    monkeypatch.setattr(taking_in, "keep", lambda data, suffix: kept.append(suffix) or real(data, suffix=suffix))
    return kept


@pytest.mark.parametrize(
    "said",
    [
        {"words": ""}, {"words": "x" * 2001}, {"words": "a\0b"}, {"station": "99"}, {"mark": str(uuid7())},
        {"photo": [a_photo(), SimpleUploadedFile("a.jpg", b"no photo")]},
    ],
)  # fmt: skip
def test_what_is_refused_leaves_no_file_behind(
    phone: Client, here: str, keeps: list[str], said: dict[str, Any]
) -> None:
    """Nobody with a link can fill the yard's disk with photos of which no row tells."""
    assert report(phone, here, **{"photo": a_photo(), **said}).status_code == 422
    assert keeps == []


def test_the_same_again_keeps_no_more_photos(phone: Client, here: str, keeps: list[str]) -> None:
    """Also once many reports came: what was kept is not refused."""
    same = key()
    for _ in range(2):
        assert report(phone, here, **same, photo=a_photo()).status_code == 302
    assert (len(keeps), NoticedPhoto.objects.count()) == (3, 1)
    for _ in range(MOST_IN_AN_HOUR):
        report(phone, here)
    assert report(phone, here).status_code == 422
    assert report(phone, here, **same, photo=a_photo()).status_code == 302
    assert len(keeps) == 3
