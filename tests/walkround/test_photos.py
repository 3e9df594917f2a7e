"""Photos at a station: taken in, shown small, and never served as what a camera may have hidden in them."""

from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from handover.photo.models import Photo
from tests.walkround.conftest import asked, look, press, text_of


def picture(name: str = "gauge.jpg") -> SimpleUploadedFile:
    out = BytesIO()
    Image.new("RGB", (640, 480), "#3d434c").save(out, "JPEG")
    return SimpleUploadedFile(name, out.getvalue(), content_type="image/jpeg")


def add(person, walk, photo=None, **said):
    data = {"photo": photo} if photo else {}
    return press(person, "add-photo", walk.pk, 1, htmx=True, **data, **said)


@pytest.fixture
def photo(isla, pickup):
    add(isla, pickup, picture(), subject=str(asked(pickup, "diesel")))
    return Photo.objects.get()


def test_is_kept_with_what_it_shows(isla, pickup, photo):
    assert (photo.view, photo.subject, photo.station_number) == ("Diesel", asked(pickup, "diesel"), 1)
    assert f"/photo/{photo.pk}/thumb/" in text_of(look(isla, "station", pickup.pk, 1))


def test_without_a_subject_it_shows_the_station(isla, pickup):
    add(isla, pickup, picture())
    assert Photo.objects.get().view == "Filler"


@pytest.mark.parametrize(
    ("sent", "said"),
    [(None, {}), (SimpleUploadedFile("a.jpg", b"no photo", "image/jpeg"), {}), (picture(), {"subject": "the moon"})],
    ids=["nothing", "text", "subject"],
)
def test_what_is_no_photo_is_said_in_the_form(isla, pickup, sent, said):
    response = add(isla, pickup, sent, **said)
    assert response.status_code == 422
    assert 'id="new-photo" data-part open' in text_of(response)
    assert 'role="alert"' in text_of(response)
    assert not Photo.objects.exists()


@pytest.mark.parametrize("page", ["photo", "photo-thumb"])
def test_shown_to_people_of_the_branch(isla, photo, page):
    response = look(isla, page, photo.pk)
    assert response["Content-Type"] == "image/jpeg"
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["Cache-Control"].startswith("private")


def test_the_original_is_only_a_file(isla, photo):
    response = look(isla, "photo-original", photo.pk)
    assert response["Content-Disposition"].startswith('attachment; filename="photo-')
    assert response["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize("page", ["photo", "photo-thumb", "photo-original"])
def test_another_branch_sees_no_photo(ida, photo, page):
    assert look(ida, page, photo.pk).status_code == 404


def test_the_pair_stands_side_by_side_at_return(callum, isla, back):
    Photo.objects.all().delete()
    said = text_of(look(callum, "station", back.pk, 1))
    assert "No photo from pickup" in said
    add(callum, back, picture(), subject=str(asked(back, "diesel")))
    assert 'alt="Diesel now"' in text_of(look(callum, "station", back.pk, 1))
