"""A return photo beside the pickup photo of the same view."""

from io import BytesIO

import pytest
from django.core.management import call_command
from PIL import Image

from fleet.models import PhotoView, Station
from handover.demo.scenes import Damage, Light, photo, side
from handover.photo.actions import add_photo
from handover.photo.models import Photo, PhotoPair
from handover.photo.pairing import make_pair
from handover.walkround.models import WalkRound
from shared.files.store import read
from tests.factories import BACK_AT, PersonFactory, RentalFactory, ReturnBayFactory, UnitFactory, an_act
from tests.kept import anew
from tests.playing import as_committed, leave, start
from tests.walkround.conftest import asked, look, text_of

BEFORE = photo(side(306), Light(), seed=1).data
AFTER = photo(side(306), Light(moved=0.03, gain=0.9, noise=3), seed=2, damages=(Damage("scuff", 520, 560, 90),)).data
OTHER = photo(side(307), Light(), seed=1).data
State = PhotoPair.State


@pytest.fixture(scope="module")
def kept_view(kept_for_module):
    station = Station.objects.get(layout=UnitFactory().layout, number=1)
    return PhotoView.objects.create(
        station=station, code="side", name="Side behind the door", shows="From the door to the rear wheel.",
        eye_x_mm=1975, eye_y_mm=3100, aim_x_mm=1025, aim_y_mm=3100,
    )  # fmt: skip


def take(walk, by, data, subject):
    return add_photo(walk, station=1, data=data, subject=subject, view="Side behind the door", act=an_act(by))


@pytest.fixture(scope="module")
def kept_away(kept_view):
    """Gone, with the view photographed at pickup."""
    rental, isla = RentalFactory(), PersonFactory()
    walk = start(rental, "pickup", isla)
    take(walk, isla, BEFORE, kept_view.pk)
    leave(walk, isla)
    return rental


@pytest.fixture(scope="module")
def kept_back(kept_away):
    return start(kept_away, "return", ReturnBayFactory(), at=BACK_AT, arrived_at=BACK_AT)


@pytest.fixture(scope="module")
def kept_pair(kept_back, kept_view):
    """Of two photos that can be laid over each other, which takes a second."""
    return paired(kept_back, ReturnBayFactory(), kept_view, AFTER)


@pytest.fixture
def view(kept_view, db):
    return anew(kept_view)


@pytest.fixture
def away(kept_away, db):
    return anew(kept_away)


@pytest.fixture
def back(kept_back, db):
    return anew(kept_back)


@pytest.fixture
def pair(kept_pair, db):
    return anew(kept_pair)


def paired(back, callum, view, data):
    with as_committed():
        take(back, callum, data, view.pk)
    return PhotoPair.objects.get()


def test_the_same_view_is_laid_over_each_other(pair):
    assert pair.state == State.ALIGNED
    assert Image.open(BytesIO(read(pair.aligned))).size == (1200, 900)
    assert 1 <= len(pair.regions) <= 8
    assert all(len(region) == 4 and max(region) <= 1000 for region in pair.regions)


def test_what_is_too_different_is_said(back, callum, view):
    pair = paired(back, callum, view, OTHER)
    assert (pair.state, pair.aligned, pair.regions) == (State.DIFFERENT, "", [])
    said = text_of(look(callum, "photo-pair", pair.pk))
    assert "Too different to lay over each other." in said
    assert "/laid/" not in said


def test_a_file_that_is_gone_is_said(back, callum, view):
    now = take(back, callum, AFTER, view.pk)
    Photo.objects.filter(pk=now.pk).update(display="00/00/" + "0" * 64 + ".jpg")
    make_pair.call(str(PhotoPair.objects.get().pk))
    assert PhotoPair.objects.get().state == State.LOST


def test_of_two_photos_at_pickup_the_later_counts(view, booked, isla, callum):
    walk = start(booked, "pickup", isla)
    take(walk, isla, OTHER, view.pk)
    later = take(walk, isla, BEFORE, view.pk)
    leave(walk, isla)
    back = start(booked, "return", callum, at=BACK_AT, arrived_at=BACK_AT)
    take(back, callum, AFTER, view.pk)
    assert PhotoPair.objects.get().out == later


@pytest.mark.parametrize("subject", ["nothing", "another"])
def test_without_a_photo_of_the_same_there_is_no_pair(back, callum, subject):
    take(back, callum, AFTER, None if subject == "nothing" else asked(back, "diesel"))
    assert not PhotoPair.objects.exists()


def test_the_pickup_makes_no_pair(away):
    assert WalkRound.objects.get().photos.count() == 1
    assert not PhotoPair.objects.exists()


def test_the_page_offers_places_and_no_findings(pair, callum):
    said = text_of(look(callum, "photo-pair", pair.pk))
    assert "None of them is a finding." in said
    assert said.count('class="ring"') == 2 * len(pair.regions)
    assert "style=" not in said


def test_the_page_says_when_no_place_stands_out(back, callum, view):
    take(back, callum, BEFORE, view.pk)
    make_pair.call(str(PhotoPair.objects.get().pk))
    said = text_of(look(callum, "photo-pair", PhotoPair.objects.get().pk))
    assert "That is no proof that nothing changed" in said


def test_another_branch_sees_no_pair(back, callum, ida, view):
    take(back, callum, AFTER, view.pk)
    pair = PhotoPair.objects.get()
    assert look(ida, "photo-pair", pair.pk).status_code == 404
    assert look(ida, "photo-laid", pair.pk).status_code == 404


def test_until_it_is_made_nothing_is_laid(back, callum, view):
    take(back, callum, AFTER, view.pk)
    pair = PhotoPair.objects.get()
    assert look(callum, "photo-laid", pair.pk).status_code == 404
    assert "Being laid over each other." in text_of(look(callum, "photo-pair", pair.pk))


def test_pairs_left_out_are_laid_by_a_command(back, callum, view, capsys):
    take(back, callum, AFTER, view.pk)
    call_command("pair_photos")
    assert PhotoPair.objects.get().state == State.ALIGNED
    call_command("pair_photos")
    assert capsys.readouterr().out.splitlines() == ["1 of 1 laid over each other.", "0 of 0 laid over each other."]
