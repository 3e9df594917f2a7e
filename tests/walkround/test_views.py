"""Photos that the layout asks for: frames at the station, counted as open, said in the record when not taken."""

import pytest
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile

from fleet.models import PhotoView, Station
from handover.board.progress import progress_of
from handover.photo.models import Photo
from handover.walkround.document import found_on, walk_document
from handover.walkround.sheet import sheet_from_json, sheet_json
from shared.canonical import canonical_text, sha256_hex
from tests.factories import BACK_AT
from tests.photos.pictures import quarters, saved
from tests.playing import leave, start
from tests.walkround.conftest import asked, look, press, text_of

SHOT = saved(quarters(), "JPEG")


def a_view(unit, **said):
    place = {"eye_x_mm": 1975, "eye_y_mm": 1900, "aim_x_mm": 1025, "aim_y_mm": 1900}
    station = Station.objects.get(layout=unit.layout, number=1)
    known = {"code": "door", "name": "Driver’s door", "shows": "From the mirror to the seam."}
    return PhotoView.objects.create(station=station, **(place | known | said))


@pytest.fixture(autouse=True)
def views(unit_407):
    """The door; the fuel gauge, which is the instrument's; the step at pickup alone."""
    return [
        a_view(unit_407),
        a_view(unit_407, code="gauge", name="Fuel gauge", reads="diesel", order=1),
        a_view(unit_407, code="step", name="Step", at="pickup", order=2),
    ]


def shoot(person, walk, subject, **said):
    photo = SimpleUploadedFile("p.jpg", SHOT, content_type="image/jpeg")
    return press(person, "add-photo", walk.pk, 1, photo=photo, subject=str(subject), **said)


def test_the_sheet_asks_for_them_and_is_read_back(pickup):
    first = pickup.sheet.data.stations[0]
    assert [view.name for view in first.views] == ["Driver’s door", "Fuel gauge", "Step"]
    assert first.views[1].subject == asked(pickup, "diesel")
    assert sheet_from_json(canonical_text(sheet_json(pickup.sheet.data))) == pickup.sheet.data


def test_a_sheet_from_before_asks_for_none(pickup):
    old = sheet_json(pickup.sheet.data)
    for station in old["stations"]:
        del station["views"]
    assert all(station.views == () for station in sheet_from_json(canonical_text(old)).stations)


def test_an_empty_frame_shows_where_to_stand_and_takes_the_photo(isla, pickup, views):
    said = text_of(look(isla, "station", pickup.pk, 1))
    assert f'id="frame-{views[0].pk}"' in said
    assert 'class="field"' in said
    assert 'aria-label="Take the photo: Driver’s door. From the mirror to the seam."' in said
    assert "3 photos" in said


def test_a_photo_fills_its_frame_and_is_no_longer_open(isla, pickup, views):
    shoot(isla, pickup, views[0].pk)
    said = text_of(look(isla, "station", pickup.pk, 1))
    assert Photo.objects.get().view == "Driver’s door"
    assert 'class="frame taken"' in said
    assert "2 photos" in said


def test_the_day_board_counts_a_station_once_its_photos_are_there(isla, pickup, views):
    press(isla, "answer-check", pickup.pk, 1, asked(pickup, "Cap and flap"), word="good")
    for code, typed in (("diesel", "82"), ("odometer", "66300")):
        press(isla, "take-reading", pickup.pk, 1, asked(pickup, code), typed=typed)
    for subject, done in ((views[0].pk, 0), (asked(pickup, "diesel"), 0), (views[2].pk, 1)):
        shoot(isla, pickup, subject)
        assert progress_of([pickup])[pickup.pk].done == done


def test_the_digest_of_what_was_taken_is_checked(isla, pickup, views):
    assert shoot(isla, pickup, views[0].pk, sha256="0" * 64).status_code == 422
    assert not Photo.objects.exists()
    shoot(isla, pickup, views[0].pk, sha256=sha256_hex(SHOT), taken_at="2026-08-14T08:59:00Z")
    assert Photo.objects.get().taken_at.isoformat() == "2026-08-14T08:59:00+00:00"


def test_at_return_what_pickup_did_not_show_carries_no_charge(callum, back):
    said = text_of(look(callum, "station", back.pk, 1))
    assert said.count("No photo from pickup: no charge can rest on this") == 2
    assert "Step" not in [view.name for view in back.sheet.data.stations[0].views if view.at in {"both", "return"}]


def test_at_return_the_pickup_photo_lies_over_the_live_picture(isla, callum, booked, views):
    pickup = start(booked, "pickup", isla)
    shoot(isla, pickup, views[0].pk)
    leave(pickup, isla)
    back = start(booked, "return", callum, at=BACK_AT, arrived_at=BACK_AT)
    said = text_of(look(callum, "station", back.pk, 1))
    assert f'data-ghost="/photo/{Photo.objects.get().pk}/"' in said
    assert 'id="viewfinder"' in said


def test_the_document_says_which_were_not_taken(isla, pickup, views):
    shoot(isla, pickup, views[0].pk)
    said = walk_document(found_on(pickup))["stations"][0]["views"]
    assert said == [
        {"name": "Driver’s door", "state": "taken", "photos": [1]},
        {"name": "Fuel gauge", "state": "not_taken", "photos": []},
        {"name": "Step", "state": "not_taken", "photos": []},
    ]


def test_a_view_looks_from_one_place_to_another(views):
    views[0].aim_x_mm = views[0].eye_x_mm
    with pytest.raises(ValidationError, match="these two are the same"):
        views[0].full_clean()


def test_a_view_reads_an_instrument_that_is_there(views):
    views[1].full_clean()
    views[1].reads = "speed"
    with pytest.raises(ValidationError, match="No instrument of this station"):
        views[1].full_clean()
