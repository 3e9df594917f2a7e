"""The plot of a curve being learned: what is drawn, and where."""

from xml.etree.ElementTree import Element, fromstring

import pytest

from consumables.gauge import EIGHTHS
from consumables.plot import Axis, Plot, crosses
from consumables.tank import curve_svg, learn
from tests.consumables.made import D, filled, many

PLOT = Plot(Axis(0, 1, "Gauge", ((0.5, "half"),)), Axis(0, 100, "Litres", ((50.0, "50"),)))


def drawn(fills) -> Element:
    learned = learn(fills, EIGHTHS, D(90))
    svg = curve_svg(learned, label="Tank & gauge", gauge_words="Gauge", litre_words="Litres")
    return fromstring(svg)  # noqa: S314 - our own drawing


def of_class(image: Element, name: str) -> list[Element]:
    return [each for each in image.iter() if name in (each.get("class") or "").split()]


def test_receipts_are_dots_and_what_is_set_aside_is_a_cross() -> None:
    image = drawn([*many(20), filled("strange", "0.75", over="35")])
    assert len(of_class(image, "dot")) == 20
    assert len(of_class(image, "cross")) == 1


def test_it_says_what_it_is() -> None:
    image = drawn([])
    assert (image.get("role"), image.get("aria-label")) == ("img", "Tank & gauge")
    assert {"Gauge", "Litres", "0", "1/4", "1/2", "3/4", "1", "80"} <= {each.text for each in image.iter()}


def test_curve_band_and_straight_line_are_there() -> None:
    image = drawn(many(5))
    assert [len(of_class(image, name)) for name in ("learned", "straight", "spread")] == [1, 1, 1]


def test_no_style_stands_in_it() -> None:
    """The pages forbid inline style."""
    image = drawn(many(3))
    assert not [each for each in image.iter() if each.get("style") or each.tag.endswith("style")]


@pytest.mark.parametrize(("point", "place"), [((0, 0), (64, 362)), ((1, 100), (620, 38)), ((2, 200), (620, 38))])
def test_a_place_on_the_plot(point, place) -> None:
    assert PLOT.at(point) == pytest.approx(place)


def test_a_cross_is_centred_on_its_point() -> None:
    assert 'd="M58 356 l12 12 m0 -12 l-12 12"' in crosses(PLOT, [(0, 0)])
