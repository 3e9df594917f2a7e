from dataclasses import replace

import pytest

from fleet.drawing import MarkPin, StationPoint, print_svg, screen_svg
from fleet.drawing.frame import frame_of
from tests.drawing.conftest import by_class, numbers, plan_from, read

CHIP = MarkPin(1, -830, 256, label="stone chip, bonnet", href="#mark-1")


def test_the_scale_keeps_length_and_width_alike(skerry):
    frame = frame_of(skerry)
    assert frame.unit == pytest.approx(491 / 5990)
    assert frame.y(5990) - frame.y(0) == pytest.approx(491)
    assert frame.x(1025) - frame.x(-1025) == pytest.approx(2050 * 491 / 5990)


def test_a_wide_body_is_scaled_by_its_width(skerry):
    assert frame_of(replace(skerry, width_mm=2600)).unit == pytest.approx(172 / 2600)


@pytest.mark.parametrize("size", [{"length_mm": 0}, {"width_mm": -1}])
def test_a_body_without_size_cannot_be_drawn(skerry, size):
    with pytest.raises(ValueError, match="both must be above 0"):
        screen_svg(replace(skerry, **size))


@pytest.mark.parametrize("name", ["skerry", "machair"])
def test_screen_and_paper_are_well_formed_and_without_style(name):
    plan = plan_from(name, marks=(CHIP,))
    for svg in (screen_svg(plan), print_svg(plan)):
        assert read(svg).tag.endswith("svg")
        assert " style=" not in svg


@pytest.mark.parametrize("name", ["skerry", "machair"])
def test_paper_knows_neither_classes_nor_variables_nor_patterns(name):
    svg = print_svg(plan_from(name, marks=(CHIP,)))
    assert not any(word in svg for word in ("class=", "var(", "pattern", "href"))


@pytest.mark.parametrize(("side", "left", "right"), [
    ("left", "kerb side", "road side"), ("right", "road side", "kerb side"),
])  # fmt: skip
def test_kerb_and_road_swap_with_the_country(skerry, side, left, right):
    words = by_class(screen_svg(replace(skerry, traffic_side=side)), "sides")[0]
    assert [text.text for text in words] == [left, right]
    assert [numbers(text.get("transform"))[0] for text in words] == [24, 340]


def test_every_station_is_a_link_with_a_name_and_a_touch_square():
    pegs = by_class(screen_svg(plan_from("skerry", states=["done", "part"])), "peg")
    assert len(pegs) == 12
    assert pegs[1].get("aria-label") == "Station 2, Off side, front, in part"
    assert pegs[1].get("href") == "#station-2"
    assert all(peg.find(".//*[@class='hit']").get("width") == "68" for peg in pegs)


def test_the_current_peg_is_larger_and_drawn_last():
    last = by_class(screen_svg(plan_from("skerry", states=["done", "now"])), "peg")[-1]
    assert last.get("aria-label") == "Station 2, Off side, front, you are here"
    assert last.find(".//*[@class='head']").get("width") == "56"


def test_a_waiting_peg_has_bars_and_a_peg_in_part_a_foot(skerry):
    stations = (StationPoint(1, "Nose", 0, -480, state="wait"), StationPoint(2, "Rear", 0, 6500, state="part"))
    svg = screen_svg(replace(skerry, stations=stations))
    assert len(by_class(svg, "bar")) == 1
    assert len(by_class(svg, "level")) == 1


def test_a_peg_stands_where_its_station_is(skerry):
    group = by_class(screen_svg(skerry), "peg")[4].find("./g")
    frame = frame_of(skerry)
    assert numbers(group.get("transform")) == pytest.approx([180, frame.y(6500)], abs=0.05)


def test_a_station_that_leads_nowhere_is_no_link(skerry):
    peg = by_class(screen_svg(replace(skerry, stations=(StationPoint(1, "Nose", 0, -480),))), "peg")[0]
    assert (peg.tag, peg.get("role")) == ("g", "img")


def test_names_are_escaped(skerry):
    nasty = '<script>"&'
    named = {"label": nasty, "stations": (StationPoint(1, nasty, 0, 0),), "marks": (MarkPin(1, 0, 0, label=nasty),)}
    svg = screen_svg(replace(skerry, **named))
    assert read(svg).get("aria-label") == nasty
    assert by_class(svg, "mark")[0].get("aria-label") == f"Mark 1, {nasty}"
    assert "<script" not in svg


def test_a_new_mark_is_filled_and_a_known_one_a_ring(skerry):
    svg = print_svg(replace(skerry, marks=(CHIP, replace(CHIP, number=7, is_new=True))))
    known, new = [part for part in read(svg).iter() if part.get("r") == "23"]
    assert (known.get("fill"), new.get("fill")) == ("#ffffff", "#8b3a0e")


def test_a_new_mark_says_so(skerry):
    pins = by_class(screen_svg(replace(skerry, marks=(replace(CHIP, number=7, is_new=True), CHIP))), "mark")
    assert [pin.get("aria-label") for pin in pins] == ["Mark 1, stone chip, bonnet", "Mark 7, new, stone chip, bonnet"]
    assert pins[1].get("class") == "mark new"


def test_the_drawing_carries_its_scale_for_a_tap(skerry):
    tree, frame = read(screen_svg(skerry)), frame_of(skerry)
    tap_x, tap_y = frame.x(1000), frame.y(3770)
    scale, middle, top = (float(tree.get(f"data-{name}")) for name in ("scale", "middle", "top"))
    assert (tap_x - middle) / scale == pytest.approx(1000, abs=2)
    assert (tap_y - top) / scale == pytest.approx(3770, abs=2)


def test_paper_is_as_wide_as_asked_and_keeps_its_proportions(skerry):
    tree = read(print_svg(skerry, width=190))
    _, _, wide, tall = numbers(tree.get("viewBox"))
    assert float(tree.get("height")) / 190 == pytest.approx(tall / wide, abs=0.01)
