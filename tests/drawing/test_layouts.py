"""The geometry of the two demo layouts: what is drawn lies in the body, and a person can walk it."""

import json
from itertools import pairwise

import pytest

from fleet.drawing import FITTING_KINDS
from fleet.drawing.frame import VIEW_HEIGHT, VIEW_WIDTH, frame_of
from tests.drawing.conftest import LAYOUTS, plan_from

NAMES = ["skerry", "machair"]
IN_THE_WALL = {"sliding_door", "entry_door", "rear_doors", "garage"}


@pytest.mark.parametrize(("name", "length", "stations"), [("skerry", 5990, 12), ("machair", 6990, 13)])
def test_the_layouts_are_complete(name, length, stations):
    data = json.loads((LAYOUTS / f"{name}.json").read_text())
    assert data["length_mm"] == length
    assert [row["number"] for row in data["stations"]] == list(range(1, stations + 1))
    assert all(row["name"] and row["where"] for row in data["stations"])


@pytest.mark.parametrize("name", NAMES)
def test_fittings_lie_within_the_body(name):
    plan = plan_from(name)
    for fitting in plan.fittings:
        assert fitting.kind in FITTING_KINDS
        if fitting.kind not in IN_THE_WALL:
            assert max(-fitting.x_mm, fitting.x_mm + fitting.w_mm) <= plan.width_mm / 2
            assert 0 <= fitting.y_mm <= plan.length_mm - fitting.h_mm


@pytest.mark.parametrize("name", NAMES)
def test_every_peg_lies_in_the_picture_with_its_edge(name):
    plan = plan_from(name)
    for x, y in (frame_of(plan).point((station.x_mm, station.y_mm)) for station in plan.stations):
        assert 28 <= x <= VIEW_WIDTH - 28
        assert 28 <= y <= VIEW_HEIGHT - 28


@pytest.mark.parametrize("name", NAMES)
def test_no_two_pegs_cover_each_other(name):
    plan = plan_from(name)
    places = [frame_of(plan).point((station.x_mm, station.y_mm)) for station in plan.stations]
    for i, (x, y) in enumerate(places):
        assert all(max(abs(x - ox), abs(y - oy)) >= 38 for ox, oy in places[:i])


@pytest.mark.parametrize("name", NAMES)
def test_the_walk_goes_round_the_outside_once_and_then_inside(name):
    plan = plan_from(name)
    outside = [abs(s.x_mm) > plan.width_mm / 2 or not 0 <= s.y_mm <= plan.length_mm for s in plan.stations]
    assert [one for one, other in pairwise(outside) if one != other] == [True]
