"""The Statement on the customer's phone: every figure unfolds, and a Line can be contested with a press."""

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from handover.dispute.models import Dispute
from handover.photo import taking_in
from handover.photo.actions import add_photo
from handover.photo.models import Photo
from handover.rental.models import Rental
from handover.statement.models import Statement
from handover.walkround.models import WalkRound
from shared.ledger.models import Entry
from tests.customer.conftest import key
from tests.factories import RentalFactory, UnitFactory, an_act
from tests.photos.pictures import quarters, saved
from tests.playing import start

pytestmark = pytest.mark.django_db
WORDS = "I filled up at the last station before the yard."


def contest(phone: Client, here: str, number: int = 1, **said: Any) -> Any:
    return phone.post(f"{here}statement/{number}/", {**key(), "words": WORDS, **said})


def test_not_there_before_it_is_priced(phone: Client, here: str) -> None:
    assert phone.get(f"{here}statement/").status_code == 404
    assert phone.get(f"{here}statement/1/").status_code == 404


def test_every_line_with_its_workings(phone: Client, here: str, statement: Statement) -> None:
    text = phone.get(f"{here}statement/").text
    for words in ("Diesel", "£18.63", "First aid kit", "£42.00", "Rate card 7", "£121.67", "Not settled yet"):
        assert words in text
    assert text.count("I object to this line") == 4


def test_an_objection_opens_a_dispute(phone: Client, here: str, statement: Statement) -> None:
    answer = contest(phone, here)
    assert answer.status_code == 302
    dispute = Dispute.objects.get()
    assert (dispute.by, dispute.by_customer, dispute.words) == (None, True, WORDS)
    assert (dispute.statement, dispute.code) == (statement, "FUEL")
    text = phone.get(answer["Location"].partition("#")[0]).text
    assert "We answer by 29 Aug 2026." in text
    assert text.count("I object to this line") == 3


def test_it_stands_in_the_ledger_as_nobodys(phone: Client, here: str, statement: Statement) -> None:
    contest(phone, here)
    entry = Entry.objects.get(kind="dispute.opened")
    assert entry.actor is None
    assert WORDS not in entry.payload


def test_a_photo_may_come_along(phone: Client, here: str, statement: Statement) -> None:
    contest(phone, here, photo=SimpleUploadedFile("receipt.jpg", saved(quarters(), "JPEG"), "image/jpeg"))
    assert Dispute.objects.get().photos.count() == 1


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"words": ""}, "Nothing is written yet."),
        ({"words": "x" * 1001}, "There is room for 1000 letters here"),
        ({"key": "nothing"}, "This form has no key."),
        ({"photo": SimpleUploadedFile("a.jpg", b"%PDF-1.4 a paper")}, "This file is a PDF document, not a photo."),
    ],
)
def test_what_cannot_be_is_a_sentence(
    phone: Client, here: str, statement: Statement, said: dict[str, Any], sentence: str
) -> None:
    answer = contest(phone, here, **said)
    assert answer.status_code == 422
    assert sentence in answer.text
    assert not Dispute.objects.exists()


def test_a_line_is_contested_once(phone: Client, here: str, statement: Statement) -> None:
    contest(phone, here)
    answer = contest(phone, here)
    assert answer.status_code == 422
    assert "This line is contested already" in answer.text


def test_a_line_that_is_not_there(phone: Client, here: str, statement: Statement) -> None:
    for number in (0, 5, 99):
        assert contest(phone, here, number).status_code == 404


def test_another_statement_is_out_of_reach(phone: Client, here: str, statement: Statement) -> None:
    """The number counts on the link's own statement alone: no address names another rental's."""
    RentalFactory(leg=UnitFactory(number="305"))
    contest(phone, here, 2)
    assert Dispute.objects.get().rental == statement.rental


def test_the_photos_a_line_rests_on_are_shown(phone: Client, here: str, out: Rental, isla: Any) -> None:
    other = RentalFactory(leg=UnitFactory(number="305", odometer_km=41_000))
    theirs = start(other, "pickup", isla)
    photo = add_photo(theirs, station=1, data=saved(quarters(), "JPEG"), act=an_act(isla))
    assert phone.get(f"{here}photo/{photo.pk}/").status_code == 404
    Photo.objects.update(walk=WalkRound.objects.get(leg__rental=out))
    assert phone.get(f"{here}photo/{photo.pk}/")["Content-Type"] == "image/jpeg"


@pytest.mark.parametrize("said", [{"words": ""}, {"words": "x" * 1001}, {"words": "a\0b"}])
def test_what_is_refused_leaves_no_file_behind(
    phone: Client, here: str, statement: Statement, monkeypatch: pytest.MonkeyPatch, said: dict[str, str]
) -> None:
    monkeypatch.setattr(taking_in, "keep", lambda data, suffix: pytest.fail("a file was kept"))
    photo = SimpleUploadedFile("receipt.jpg", saved(quarters(), "JPEG"), "image/jpeg")
    assert contest(phone, here, photo=photo, **said).status_code == 422


def test_the_same_again_keeps_no_more_photos(
    phone: Client, here: str, statement: Statement, monkeypatch: pytest.MonkeyPatch
) -> None:
    same = key()
    assert contest(phone, here, **same).status_code == 302
    monkeypatch.setattr(taking_in, "keep", lambda data, suffix: pytest.fail("a file was kept"))
    photo = SimpleUploadedFile("receipt.jpg", saved(quarters(), "JPEG"), "image/jpeg")
    assert contest(phone, here, photo=photo, **same).status_code == 302
    assert Dispute.objects.get().photos.count() == 0
