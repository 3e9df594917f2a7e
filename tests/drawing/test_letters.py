"""The plan with lettered places, for paper and for the page."""

from xml.etree import ElementTree

import pytest

from fleet.drawing.letters import Lettered, lettered_print_svg, lettered_screen_svg
from fleet.drawing.model import Fitting, PlanInput

VAN = PlanInput(
    length_mm=5990, width_mm=2050, axles_mm=(950, 4850), body_kind="panel_van", label='Unit "407"',
    fittings=(Fitting("hob", 615, 2770, 280, 640),),
)  # fmt: skip
PLACES = (Lettered("A", 1000, 2600), Lettered("B", -1000, 5300))
SIDES = ("kerb side", "road side")


def paper(height: int = 388) -> ElementTree.Element:
    svg = lettered_print_svg(VAN, PLACES, sides=SIDES, height=height)
    return ElementTree.fromstring(svg)  # noqa: S314 - our own drawing


def words(drawn: ElementTree.Element) -> list[str]:
    return [str(each.text) for each in drawn.iter() if each.tag.endswith("text")]


def test_letters_and_sides_stand_on_it() -> None:
    assert words(paper()) == ["kerb side", "road side", "A", "B"]


def test_it_is_as_tall_as_asked_and_in_proportion() -> None:
    drawn = paper(300)
    _left, _top, wide, tall = (float(value) for value in drawn.attrib["viewBox"].split())
    assert float(drawn.attrib["height"]) == 300
    assert float(drawn.attrib["width"]) == pytest.approx(300 * wide / tall, abs=0.1)


def test_paper_has_plain_values_only() -> None:
    svg = lettered_print_svg(VAN, PLACES, sides=SIDES, height=388)
    assert "class=" not in svg
    assert "var(" not in svg
    assert 'fill="#f6c62d"' in svg


def test_the_page_dresses_it_by_classes() -> None:
    svg = lettered_screen_svg(VAN, PLACES, sides=SIDES)
    assert svg.count('class="letter"') == 2
    assert "style=" not in svg
    assert "#f6c62d" not in svg


def test_letters_stand_within_the_view() -> None:
    drawn = paper()
    left, top, wide, tall = (float(value) for value in drawn.attrib["viewBox"].split())
    pegs = [each for each in drawn if each.attrib.get("width") == "38"]
    assert len(pegs) == 2
    for peg in pegs:
        assert left <= float(peg.attrib["x"]) <= left + wide - 38
        assert top <= float(peg.attrib["y"]) <= top + tall - 38


def test_words_are_escaped() -> None:
    svg = lettered_screen_svg(VAN, (Lettered("<b>", 0, 0),), sides=("a & b", ""))
    assert "&lt;b&gt;" in svg
    assert "a &amp; b" in svg
    assert "aria-label='Unit \"407\"'" in svg
