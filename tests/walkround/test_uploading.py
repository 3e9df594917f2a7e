"""A file larger than any photo is not collected, and is answered in a sentence all the same."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from handover.photo.models import Photo
from handover.photo.uploading import WAITED_FOR
from tests.photos.hostile import HOSTILE
from tests.photos.pictures import quarters, saved
from tests.walkround.conftest import press, text_of

LIMIT = 200_000


@pytest.fixture(autouse=True)
def small_limit(settings):
    settings.PHOTO_MAX_BYTES = LIMIT


def send(person, walk, data):
    return press(person, "add-photo", walk.pk, 1, photo=SimpleUploadedFile("p.jpg", data), subject="")


def test_up_to_the_limit_it_is_a_photo(isla, pickup):
    photo = saved(quarters(), "JPEG")
    assert send(isla, pickup, photo + bytes(LIMIT - len(photo))).status_code == 302
    assert Photo.objects.count() == 1


@pytest.mark.parametrize("size", [LIMIT + 1, 3 * LIMIT, (WAITED_FOR + 2) * LIMIT])
def test_beyond_it_is_refused_in_a_sentence(isla, pickup, size):
    response = send(isla, pickup, bytes(size))
    assert response.status_code == 422
    assert "A photo up to 0 MB can be added." in text_of(response)
    assert not Photo.objects.exists()


def test_no_file_of_the_hostile_ones_stops_the_next(isla, pickup, settings):
    """Each is refused in the form or kept; the photo after it is kept in any case."""
    settings.PHOTO_MAX_BYTES = 25 * 2**20
    few = HOSTILE[::9]
    said = [send(isla, pickup, data).status_code for _, data, _ in few]
    assert said == [302 if accepted else 422 for _, _, accepted in few]
    assert send(isla, pickup, saved(quarters(), "JPEG")).status_code == 302
