"""The later photo of a view over the earlier one, on drawn sides where every change is known."""

from io import BytesIO

import cv2
import numpy as np
import pytest
from PIL import Image

from handover.demo.scenes import Damage, Light, photo, side
from handover.photo.aligning import TooDifferent, lay_over
from handover.photo.differing import regions_of
from tests.photos.laid import measure
from tests.photos.pictures import noise, saved

ASIDE = Light(moved=0.03, gain=0.9, noise=3)
SCUFF = Damage("scuff", 520, 560, 90)


@pytest.fixture(scope="module")
def scene():
    return side(306)


@pytest.fixture(scope="module")
def before(scene):
    return photo(scene, Light(), seed=1).data


@pytest.fixture(scope="module")
def scuffed(scene):
    return photo(scene, ASIDE, seed=2, damages=(SCUFF,))


@pytest.fixture(scope="module")
def laid_scuffed(before, scuffed):
    return lay_over(before, scuffed.data)


def grey(jpeg):
    return cv2.imdecode(np.frombuffer(jpeg, np.uint8), cv2.IMREAD_GRAYSCALE)[180:700, 150:1050].astype(float)


def test_the_vehicle_lies_on_the_vehicle(scene, before):
    after = photo(scene, ASIDE, seed=2).data
    laid = lay_over(before, after).jpeg
    alike = [np.corrcoef(grey(before).ravel(), grey(other).ravel())[0, 1] for other in (after, laid)]
    assert alike[0] < 0.8
    assert alike[1] > 0.97


def test_a_scuff_is_a_place_to_look_at(scuffed, laid_scuffed):
    first = laid_scuffed.regions[0]
    x, y, wide, tall = scuffed.boxes[0]
    assert first.left <= 1000 * (x + wide / 2) / 1200 <= first.left + first.width
    assert first.top <= 1000 * (y + tall / 2) / 900 <= first.top + first.height


def test_the_same_photo_twice_shows_no_place(before):
    assert lay_over(before, before).regions == ()


def test_photos_of_two_sizes_are_laid_in_the_size_of_the_first(scene, before):
    small = Image.open(BytesIO(photo(scene, ASIDE, seed=2).data)).resize((800, 600))
    assert Image.open(BytesIO(lay_over(before, saved(small, "JPEG", quality=90)).jpeg)).size == (1200, 900)


@pytest.mark.parametrize(
    "other",
    [
        photo(side(307), Light(), seed=1).data,
        saved(noise(1200, 900), "JPEG"),
        saved(Image.new("RGB", (800, 600)), "JPEG"),
    ],
    ids=["another side", "noise", "the cap on"],
)
def test_what_is_too_different_is_said(before, other):
    with pytest.raises(TooDifferent):
        lay_over(before, other)


def test_upside_down_is_too_different_or_turned(before):
    turned = saved(Image.open(BytesIO(before)).rotate(180), "JPEG", quality=90)
    assert Image.open(BytesIO(lay_over(before, turned).jpeg)).size == (1200, 900)


@pytest.mark.parametrize("size", [(1, 1), (1600, 1), (20, 1600), (64, 64), (1600, 63)])
def test_odd_shapes_are_said_to_be_too_different(before, size):
    odd = saved(noise(*size), "JPEG")
    for pair in ((odd, odd), (odd, before), (before, odd)):
        with pytest.raises(TooDifferent):
            lay_over(*pair)


def test_what_is_no_picture_is_refused(before):
    with pytest.raises(ValueError, match="no picture"):
        lay_over(before, b"no picture")


def test_same_photos_give_the_same_places(before, scuffed, laid_scuffed):
    assert lay_over(before, scuffed.data) == laid_scuffed


def test_places_where_nothing_is_compared_are_never_shown():
    plain, marked = np.full((300, 400, 3), 120, np.uint8), np.full((300, 400, 3), 120, np.uint8)
    marked[100:140, 100:160] = 240
    everywhere = np.ones((300, 400), bool)
    assert regions_of(plain, marked, everywhere)
    assert regions_of(plain, marked, ~everywhere) == ()


def test_a_place_is_said_in_thousandths():
    plain, marked = np.full((300, 400, 3), 120, np.uint8), np.full((300, 400, 3), 120, np.uint8)
    marked[150:180, 200:240] = 240
    (region,) = regions_of(plain, marked, np.ones((300, 400), bool))
    assert region.left < 550 < region.left + region.width < 750
    assert region.top < 550 < region.top + region.height < 750


def test_recall_and_false_alarms_stay_where_they_were_measured():
    """A floor under `make bench`: two scenes in ordinary light."""
    tally = measure((501, 504), ("same light", "other light"))
    assert not tally.not_laid
    assert tally.recall() >= 0.6
    assert tally.false_alarms() <= 1
