"""A signature's drawing holds numbers and nothing else, however it was sent."""

import re

import pytest

from handover.record.signature_svg import MOST_POINTS, MOST_STROKES, signature_svg

STROKES = [[[0, 0], [100, 50], [200, 0]], [[220, 40], [240, 60]]]


def points(svg: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(r"[ML]([\d.]+) ([\d.]+)", svg)]


def test_the_strokes_are_fitted_and_keep_their_shape():
    assert points(signature_svg(STROKES))[:3] == [(3.0, 7.0), (63.0, 37.0), (123.0, 7.0)]


def test_a_small_signature_is_not_enlarged():
    xs = [x for x, _ in points(signature_svg([[[0, 0], [10, 5]]]))]
    assert max(xs) - min(xs) == 10


def test_a_tap_is_a_dot():
    assert points(signature_svg([[[5, 5]]])) == [(3.0, 42.0), (3.0, 42.0)]


@pytest.mark.parametrize(
    "strokes", [[], [[]], [[[1]]], [[["1", "2"]]], [[[float("nan"), 1]]], [[[1e9, 1]]], [[[True, 1]]]]
)
def test_without_a_usable_point_there_is_no_drawing(strokes):
    assert signature_svg(strokes) == ""


def test_what_is_no_number_never_gets_into_the_drawing():
    svg = signature_svg([[[0, 0], ['"/><script>', 5], [30, 10]]])
    assert "script" not in svg
    assert len(points(svg)) == 2


def test_a_flood_of_points_is_thinned():
    flood = signature_svg([[[x, x % 7] for x in range(90_000)]])
    assert len(points(flood)) <= MOST_POINTS + 1


def test_a_flood_of_strokes_is_cut():
    flood = signature_svg([[[x, 1], [x, 2]] for x in range(5_000)])
    assert flood.count("M") == MOST_STROKES


def test_pressure_and_time_of_a_point_are_left_alone():
    assert points(signature_svg([[[0, 0, 17], [10, 0, 34, 0.5]]])) == [(3.0, 42.0), (13.0, 42.0)]
