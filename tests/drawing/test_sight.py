"""The piece of the plan that says where a photo is taken from."""

import pytest

from fleet.drawing.frame import frame_of
from fleet.drawing.sight import sight_svg
from tests.drawing.conftest import by_class, numbers, read

FRONT = ((0, -1500), (0, 300))
DOOR = ((1975, 1900), (1025, 1900))


def window(svg):
    return numbers(read(svg).get("viewBox"))


@pytest.mark.parametrize("view", [FRONT, DOOR])
def test_both_ends_lie_in_a_window_of_four_to_three(skerry, view):
    left, top, wide, tall = window(sight_svg(skerry, *view))
    frame = frame_of(skerry)
    assert wide / tall == pytest.approx(4 / 3, abs=0.01)
    for point in view:
        x, y = frame.point(point)
        assert left < x < left + wide
        assert top < y < top + tall


def test_the_field_opens_from_the_eye_to_beyond_the_aim(skerry):
    svg = sight_svg(skerry, *DOOR)
    (field,), (eye,) = by_class(svg, "field"), by_class(svg, "eye")
    x, y, x_1, y_1, x_2, y_2 = numbers(field.get("d"))
    aim = frame_of(skerry).point(DOOR[1])
    assert (float(eye.get("cx")), float(eye.get("cy"))) == (x, y)
    assert max(x_1, x_2) < aim[0] < x
    assert y_1 != y_2
    assert (y_1 + y_2) / 2 == pytest.approx(aim[1], abs=0.2)


def test_says_nothing_of_its_own(skerry):
    assert read(sight_svg(skerry, *FRONT)).get("aria-hidden") == "true"
    assert not by_class(sight_svg(skerry, *FRONT), "peg")
