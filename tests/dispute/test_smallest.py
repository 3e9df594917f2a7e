"""The smallest mark a photo could have shown: pixels, distance, field, worked out by hand."""

import pytest

from handover.dispute.smallest import Taken, smallest_mark

# 2 x tan 32 degrees = 1.24974 of the distance across the longer side.
STRAIGHT = Taken(4000, 3000, (2000, 0), (1000, 0))


def test_three_pixels_of_what_lies_across() -> None:
    found = smallest_mark(STRAIGHT)
    assert found is not None
    assert (found.distance_mm, found.across_mm) == (1000, 1250)
    assert found.least_mm == pytest.approx(3 * 1249.74 / 4000, rel=1e-4)


@pytest.mark.parametrize(("size", "shown"), [(1, True), (0, False)])
def test_it_shows_what_is_no_smaller(size: int, shown: bool) -> None:
    found = smallest_mark(STRAIGHT)
    assert found is not None
    assert found.shows(size) is shown


def test_twice_as_far_is_twice_as_large() -> None:
    near, far = smallest_mark(STRAIGHT), smallest_mark(Taken(4000, 3000, (3000, 0), (1000, 0)))
    assert near is not None
    assert far is not None
    assert far.least_mm == pytest.approx(2 * near.least_mm)


def test_half_the_pixels_are_twice_as_large() -> None:
    near, coarse = smallest_mark(STRAIGHT), smallest_mark(Taken(2000, 1500, (2000, 0), (1000, 0)))
    assert near is not None
    assert coarse is not None
    assert coarse.least_mm == pytest.approx(2 * near.least_mm)


def test_held_upright_a_photo_sees_less_to_its_sides_and_as_fine() -> None:
    wide, tall = smallest_mark(STRAIGHT), smallest_mark(Taken(3000, 4000, (2000, 0), (1000, 0)))
    assert wide is not None
    assert tall is not None
    assert tall.across_mm == pytest.approx(wide.across_mm * 3 / 4, abs=1)
    assert tall.least_mm == pytest.approx(wide.least_mm)


@pytest.mark.parametrize(
    ("mark", "in_view"),
    [((1000, 600), True), ((1000, 640), False), ((1000, -600), True), ((1000, -640), False), ((3000, 0), False)],
)
def test_what_lies_beside_the_view(mark: tuple[int, int], in_view: bool) -> None:
    """At one metre the view reaches 625 mm to each side; what lies behind the camera is never in it."""
    found = smallest_mark(STRAIGHT, mark)
    assert found is not None
    assert found.in_view is in_view
    assert found.shows(100) is in_view


@pytest.mark.parametrize(
    "photo", [Taken(0, 3000, (2000, 0), (1000, 0)), Taken(4000, 0, (2000, 0), (1000, 0)), Taken(4, 3, (1, 1), (1, 1))]
)
def test_unknown_is_said_as_none(photo: Taken) -> None:
    assert smallest_mark(photo) is None


def test_a_mark_where_the_camera_is() -> None:
    assert smallest_mark(STRAIGHT, (2000, 0)) is None
