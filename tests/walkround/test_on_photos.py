"""Marks on photos: a new one or the growth of a known one, kept as a point of that photo and drawn as a ring on it."""

import json

import pytest

from handover.photo.actions import add_photo
from handover.photo.models import PhotoPoint
from handover.walkround.document import found_on, shown_digest, walk_document
from handover.walkround.models import Mark, MarkFinding
from shared.ids import uuid7
from shared.ledger.models import Entry
from tests.factories import BACK_AT, NINE, an_act
from tests.photos.pictures import quarters, saved
from tests.walkround.conftest import look, press, text_of
from tests.walkround.test_unseen import a_mark

JPEG = saved(quarters(), "JPEG")
NEW = {"kind": "scratch", "part": "door", "place": "locker door", "size_mm": "40"}


@pytest.fixture
def photo(pickup, isla):
    return add_photo(pickup, station=2, data=JPEG, view="Locker", act=an_act(isla, at=NINE))


def pin(person, walk, photo_id, x="250", y="600", **said):
    return press(person, "pin-mark", walk.pk, 2, **NEW, photo=str(photo_id), photo_x=x, photo_y=y, **said)


def test_tapped_on_a_photo_alone_it_is_pinned_at_its_station(isla, pickup, photo):
    pin(isla, pickup, photo.pk)
    mark = Mark.objects.get()
    point = PhotoPoint.objects.get()
    assert (mark.x_mm, mark.y_mm) == (-1025, 5300)
    assert (point.mark, point.photo_id, point.x_permille, point.y_permille) == (mark, photo.pk, 250, 600)


def test_on_the_plan_and_on_a_photo(isla, pickup, photo):
    pin(isla, pickup, photo.pk, x_mm="-1000", y_mm="5000")
    assert (Mark.objects.get().y_mm, PhotoPoint.objects.count()) == (5000, 1)


def test_on_the_plan_alone_there_is_no_ring(isla, pickup):
    press(isla, "pin-mark", pickup.pk, 2, **NEW, x_mm="-1000", y_mm="5000", photo="", photo_x="", photo_y="")
    assert Mark.objects.count() == 1
    assert not PhotoPoint.objects.exists()


def test_on_neither_it_is_refused(isla, pickup):
    response = press(isla, "pin-mark", pickup.pk, 2, **NEW)
    assert response.status_code == 422
    assert "Tap the plan or a photo where the mark is" in text_of(response)


@pytest.mark.parametrize(("x", "y"), [("1001", "0"), ("0", "-1"), ("", "5"), ("left", "5")])
def test_beside_the_photo(isla, pickup, photo, x, y):
    assert pin(isla, pickup, photo.pk, x, y).status_code == 422
    assert not Mark.objects.exists()


def test_no_photo_of_that_name(isla, pickup):
    assert pin(isla, pickup, "photo 3").status_code == 422


def test_a_photo_that_has_not_arrived_yet_is_taken_on_trust(isla, pickup):
    later = uuid7()
    pin(isla, pickup, later)
    assert PhotoPoint.objects.get().photo_id == later


def test_a_photo_of_another_walk_round(isla, callum, back):
    taken = add_photo_of(back.before, isla)
    assert pin(callum, back, taken).status_code == 422


def add_photo_of(walk, by):
    walk.finished_at = None
    walk.save()
    return add_photo(walk, station=2, data=JPEG, view="Locker", act=an_act(by, at=NINE)).pk


def test_the_growth_of_a_known_one(callum, back):
    mark = a_mark(back)
    taken = add_photo(back, station=2, data=JPEG, view="Locker", act=an_act(callum, at=BACK_AT)).pk
    spot = {"photo": str(taken), "photo_x": "500", "photo_y": "500"}
    press(callum, "judge-mark", back.pk, 2, mark.pk, word="worse", size_mm="70", **spot)
    assert (MarkFinding.objects.get().size_mm, PhotoPoint.objects.get().mark) == (70, mark)


def test_the_ledger_tells_where(isla, pickup, photo):
    pin(isla, pickup, photo.pk)
    told = json.loads(Entry.objects.get(kind="mark.pinned").payload)
    assert told["spot"] == {"photo": str(photo.pk), "x": 250, "y": 600}


def test_what_is_signed_has_the_ring(isla, pickup, photo):
    before = shown_digest(pickup)
    pin(isla, pickup, photo.pk)
    document = walk_document(found_on(pickup))
    assert document["photos"][0]["points"] == [{"mark": 1, "x": 250, "y": 600}]
    assert shown_digest(pickup) != before


def test_the_photo_s_page_draws_it(isla, pickup, photo):
    pin(isla, pickup, photo.pk)
    said = text_of(look(isla, "photo-page", photo.pk))
    assert f'class="spotted" cx="{photo.width // 4}" cy="{photo.height * 600 // 1000}"' in said
    assert "Mark 1: scratch, 40 mm, locker door" in said


def test_on_the_photo_s_page_itself(isla, pickup, photo):
    said = {**NEW, "mark": "", "photo": str(photo.pk), "photo_x": "10", "photo_y": "20", "word": "worse"}
    assert press(isla, "mark-on-photo", photo.pk, **said).status_code == 302
    assert PhotoPoint.objects.get().x_permille == 10


def test_a_known_one_on_the_photo_s_page(callum, back):
    mark = a_mark(back)
    taken = add_photo(back, station=2, data=JPEG, view="Locker", act=an_act(callum, at=BACK_AT))
    assert "Mark 3, locker door, 40 mm: has grown" in text_of(look(callum, "photo-page", taken.pk))
    spot = {"photo": str(taken.pk), "photo_x": "10", "photo_y": "20", "word": "worse"}
    press(callum, "mark-on-photo", taken.pk, mark=str(mark.pk), size_mm="60", **spot)
    assert MarkFinding.objects.get().size_mm == 60


def test_what_cannot_be_stays_on_the_photo_s_page(isla, pickup, photo):
    response = press(
        isla, "mark-on-photo", photo.pk, **{**NEW, "place": ""}, photo=str(photo.pk), photo_x="1", photo_y="1"
    )
    assert response.status_code == 422
    assert "Say where it is" in text_of(response)
    assert 'value="40"' in text_of(response)


def test_who_only_looks_marks_nothing(maeve, pickup, photo):
    assert 'id="mark-here"' not in text_of(look(maeve, "photo-page", photo.pk))
    assert (
        press(maeve, "mark-on-photo", photo.pk, **NEW, photo=str(photo.pk), photo_x="1", photo_y="1").status_code == 403
    )


def test_the_form_of_a_station_offers_its_photos(isla, pickup, photo):
    said = text_of(look(isla, "station", pickup.pk, 2))
    assert f'<option value="{photo.pk}" data-src="/photo/{photo.pk}/thumb/">Locker' in said
    assert text_of(look(isla, "station", pickup.pk, 1)).count("data-spot hidden") == 1
