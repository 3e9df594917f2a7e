import pytest

from fleet.drawing import StationPoint, screen_svg
from fleet.drawing.way import rounded, toward, walked
from tests.drawing.conftest import by_class, numbers, plan_from


@pytest.mark.parametrize(("states", "count"), [
    ([], 0), (["now"], 1), (["done", "done", "done", "part", "done", "now"], 6), (["done", "todo", "now"], 1),
    (["done", "wait"], 2),
])  # fmt: skip
def test_walked_counts_without_a_gap(states, count):
    stations = plan_from("skerry", states=states).stations
    assert walked(stations) == count


def test_the_walked_way_is_one_line_from_the_first_to_the_current_station():
    svg = screen_svg(plan_from("skerry", states=["done", "done", "now"]))
    gone = by_class(svg, "gone")
    assert len(gone) == 1
    assert gone[0].get("d").count("M") == 1
    assert numbers(gone[0].get("d"))[-2:] == pytest.approx([310.3, 297.8], abs=0.1)


def test_paces_begin_where_the_ink_ends():
    svg = screen_svg(plan_from("skerry", states=["done", "done", "now"]))
    ahead, gone = by_class(svg, "way")[0], by_class(svg, "gone")[0]
    assert numbers(ahead.get("d"))[:2] == numbers(gone.get("d"))[-2:]


def test_nothing_is_walked_before_the_first_station_and_nothing_lies_ahead_at_the_end():
    fresh = screen_svg(plan_from("skerry"))
    finished = screen_svg(plan_from("skerry", states=["done"] * 12))
    assert (len(by_class(fresh, "gone")), len(by_class(finished, "way"))) == (0, 0)


def test_one_station_alone_has_no_way():
    svg = screen_svg(plan_from("skerry", stations=(StationPoint(1, "Nose", 0, 0),)))
    assert by_class(svg, "way") == by_class(svg, "gone") == []


def test_corners_are_rounded_by_48_units_where_there_is_room():
    assert rounded([(180, 44), (310, 44), (310, 150)]) == "L 262 44 Q 310 44 310 92 L 310 150"


def test_two_corners_share_the_straight_between_them():
    assert rounded([(150, 470), (150, 504), (205, 504), (205, 392)]) == (
        "L 150 476.5 Q 150 504 177.5 504 L 177.5 504 Q 205 504 205 476.5 L 205 392"
    )


def test_a_corner_upon_a_station_is_simply_a_point():
    assert rounded([(0, 0), (0, 0), (0, 9)]) == "L 0 9"


def test_toward_goes_the_distance():
    assert toward((0, 0), (30, 40), 5) == (3, 4)
