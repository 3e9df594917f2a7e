"""Which side is the kerb, and which way a vehicle is walked that drives on the other side than it was drawn for."""

import pytest

from handover.walkround.asking import sheet_of
from handover.walkround.kerb import kerb_first, side_of
from handover.walkround.sheet import StationSheet
from tests.factories import NINE
from tests.walkround.conftest import look, text_of

SIZE = {"width_mm": 2000, "length_mm": 6000}


def at(number, x, y, *way, where=""):
    return StationSheet(number, f"Station {number}", where, x, y, way, (), (), (), (), ())


# Drawn for traffic on the left: the nose, the kerb side with the door, the rear, the road side, then inside.
KERB_THEN_ROAD = (
    at(1, 0, -500),
    at(2, -1500, 1000, (-1500, -500), where="Kerb side, front."),
    at(3, -1500, 3000, where="Kerb side. Step and lock."),
    at(4, 0, 6500, (-1500, 6500), where="Rear."),
    at(5, 1500, 2000, (1500, 6500), where="Road side, filler."),
    at(6, 200, 3000, (1500, -500), (-1500, -500), (-1500, 3000), where="Inside."),
    at(7, 200, 1500),
)


def walked(stations, drawn_for, traffic_side):
    return kerb_first(stations, **SIZE, drawn_for=drawn_for, traffic_side=traffic_side)


@pytest.mark.parametrize(
    ("x", "traffic", "side"),
    [(-1500, "left", "kerb"), (1500, "left", "road"), (-1500, "right", "road"), (1500, "right", "kerb"),
     (0, "left", ""), (1000, "left", ""), (-1000, "right", "")],
)  # fmt: skip
def test_sides(x, traffic, side):
    assert side_of(x, 2000, traffic) == side


@pytest.mark.parametrize("drawn_for", ["left", ""])
def test_drawn_for_this_traffic_or_for_none_it_stays(drawn_for):
    assert walked(KERB_THEN_ROAD, drawn_for, "left") == KERB_THEN_ROAD


def test_on_the_other_side_it_is_walked_the_other_way_round_kerb_first():
    found = walked(KERB_THEN_ROAD, "left", "right")
    assert [station.number for station in found] == [1, 5, 4, 3, 2, 6, 7]
    sides = [side for station in found if (side := side_of(station.x_mm, 2000, "right"))]
    assert sides == ["kerb", "road", "road"]


def test_the_words_change_sides():
    words = {station.number: station.where for station in walked(KERB_THEN_ROAD, "left", "right")}
    assert words[2] == "Road side, front."
    assert words[5] == "Kerb side, filler."
    assert words[4] == "Rear."


def test_each_way_is_the_one_back_along_it():
    ways = {station.number: station.way for station in walked(KERB_THEN_ROAD, "left", "right")}
    assert ways[5] == ((1500, -500),)
    assert ways[4] == ((1500, 6500),)
    assert ways[3] == ((-1500, 6500),)
    assert ways[2] == ()


def test_the_door_is_reached_from_the_other_end():
    ways = {station.number: station.way for station in walked(KERB_THEN_ROAD, "left", "right")}
    assert ways[6] == ((-1500, 3000),)
    assert ways[7] == ()


def test_where_the_kerb_comes_first_already_only_the_words_change():
    road_then_kerb = (
        at(1, 0, -500), at(2, 1500, 1000, (1500, -500), where="Road side."),
        at(3, -1500, 3000, where="Kerb side. Step."), at(4, 200, 3000, (200, 3000)),
    )  # fmt: skip
    found = walked(road_then_kerb, "left", "right")
    assert [(station.number, station.where) for station in found[1:3]] == [(2, "Kerb side."), (3, "Road side. Step.")]
    assert [station.way for station in found] == [station.way for station in road_then_kerb]


def test_without_a_nose_the_ring_turns_whole():
    ring = KERB_THEN_ROAD[1:5]
    assert [station.number for station in walked(ring, "left", "right")] == [5, 4, 3, 2]


def test_the_door_on_the_far_side_is_reached_round_the_nose():
    kerb_then_door = (*KERB_THEN_ROAD[:4], at(5, 1500, 2000, (1500, 6500)), at(6, 200, 2000, (200, 2000)))
    ways = {station.number: station.way for station in walked(kerb_then_door, "left", "right")}
    assert ways[6] == ((-1500, -500), (1500, -500), (1500, 2000), (200, 2000))


def test_a_unit_s_sheet_follows_its_branch(unit_407):
    unit_407.layout.traffic_side = "right"
    numbers = [station.number for station in sheet_of(unit_407, today=NINE.date()).stations]
    assert sorted(numbers) == [1, 2]
    assert numbers == [2, 1]
    unit_407.layout.traffic_side = "left"
    assert [station.number for station in sheet_of(unit_407, today=NINE.date()).stations] == [1, 2]


def test_the_road_side_is_warned_of(isla, pickup):
    assert "Mind the traffic: road side." in text_of(look(isla, "station", pickup.pk, 1))
    assert "Mind the traffic" not in text_of(look(isla, "station", pickup.pk, 2))
