from dataclasses import replace

import pytest

from fleet.drawing import FITTING_KINDS, Fitting, screen_svg
from fleet.drawing.fittings import left_edge, placed
from fleet.drawing.frame import frame_of
from fleet.drawing.shapes import screen_ink
from tests.drawing.conftest import numbers, read


def drawn(fitting, plan, side="left"):
    return read(placed(fitting, frame_of(plan), side, screen_ink))


@pytest.mark.parametrize("kind", FITTING_KINDS)
@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_every_kind_draws_itself_in_every_turn(skerry, kind, turn):
    assert len(drawn(Fitting(kind, -400, 3000, 800, 600, turn), skerry)) >= 1


def test_a_fitting_stands_at_its_millimetres(skerry):
    frame = frame_of(skerry)
    group = drawn(Fitting("galley", 560, 2696, 390, 1562), skerry)
    assert numbers(group.get("transform")) == pytest.approx([frame.x(560), frame.y(2696)], abs=0.05)
    assert float(group[0].get("height")) == pytest.approx(1562 * frame.unit, abs=0.05)


def test_a_turned_fitting_keeps_its_place(skerry):
    frame = frame_of(skerry)
    group = drawn(Fitting("bench", 560, 4420, 390, 850, 270), skerry)
    x, y, turn, *_ = numbers(group.get("transform"))
    assert (x, y) == pytest.approx((frame.x(755), frame.y(4845)), abs=0.05)
    assert turn == 270
    assert float(group[0].get("width")) == pytest.approx(850 * frame.unit, abs=0.05)


@pytest.mark.parametrize(("kind", "side", "edge"), [
    ("driver_seat", "left", 195), ("driver_seat", "right", -805),
    ("passenger_seat", "left", -805), ("passenger_seat", "right", 195), ("seat", "right", 195),
])  # fmt: skip
def test_the_driver_sits_where_the_country_drives_from(kind, side, edge):
    assert left_edge(Fitting(kind, 195, 1818, 610, 634), side) == edge


def test_only_the_driver_has_a_wheel(skerry):
    driver, other = (drawn(Fitting(kind, 195, 1818, 610, 634), skerry) for kind in ("driver_seat", "passenger_seat"))
    assert (len(driver), len(other)) == (3, 2)


@pytest.mark.parametrize(("length", "cylinders"), [(480, 1), (990, 2), (1440, 3)])
def test_a_gas_locker_shows_as_many_cylinders_as_fit(skerry, length, cylinders):
    assert len(drawn(Fitting("gas_locker", -945, 4930, 480, length), skerry)) == 1 + cylinders


def test_a_wide_bed_has_two_pillows_and_a_narrow_one_one(skerry):
    wide, narrow = (drawn(Fitting("bed", -410, 4000, width, 1800), skerry) for width in (1360, 700))
    assert [sum(part.get("rx") == "6" for part in bed) for bed in (wide, narrow)] == [2, 1]


def test_an_unknown_kind_says_which_can_be_drawn(skerry):
    with pytest.raises(ValueError, match="'sauna' cannot be drawn"):
        screen_svg(replace(skerry, fittings=(Fitting("sauna", 0, 0, 100, 100),)))


def test_what_lies_above_is_drawn_after_what_lies_below(skerry):
    over, under = Fitting("alcove_bed", -900, 800, 1800, 1500), Fitting("table", 0, 3000, 500, 500)
    svg = screen_svg(replace(skerry, fittings=(over, under)))
    assert svg.index("line dash") > svg.index('rx="6"')
