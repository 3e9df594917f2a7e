"""The contrast of every pair of tokens that meets on a screen, recomputed from tokens.css in both lights."""

import re
from functools import cache
from math import floor
from pathlib import Path

import pytest

from fleet.drawing.shapes import HEX
from tests.wcag import contrast

CSS = Path(__file__).parent.parent / "static" / "css"
TEXT, SHAPE = 4.5, 3.0
HUES = ("heather", "loch", "bracken", "moss", "stop")
WASHES = [f"{hue}-wash" for hue in ("heather", "gorse", "loch", "bracken", "moss", "stop")] + ["square"]


@cache
def tokens(light):
    daylight, dusk = (CSS / "tokens.css").read_text().split(':root[data-light="dusk"]')
    found = dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", daylight))
    return found if light == "daylight" else found | dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", dusk))


def ratios(front, back):
    """Daylight and dusk, rounded down to one decimal."""
    return tuple(floor(contrast(tokens(light)[front], tokens(light)[back]) * 10) / 10 for light in ("daylight", "dusk"))


# One row a text colour: on sheet, on ground, on its own wash, its on- colour upon it; each daylight, dusk.
TEXTS = {
    "ink": [("sheet", 17.2, 15.1), ("ground", 14.5, 16.6)],
    "ink-soft": [("sheet", 9.1, 9.4), ("ground", 7.7, 10.3)],
    "heather": [("sheet", 11.3, 9.4), ("ground", 9.5, 10.4), ("heather-wash", 9.6, 7.9), ("on-heather", 11.5, 10.0)],
    "loch": [("sheet", 8.2, 10.0), ("ground", 6.9, 11.0), ("loch-wash", 6.8, 7.4), ("on-loch", 8.4, 9.6)],
    "bracken": [("sheet", 7.5, 9.4), ("ground", 6.4, 10.4), ("bracken-wash", 6.4, 7.7), ("on-bracken", 7.7, 9.4)],
    "moss": [("sheet", 7.9, 10.6), ("ground", 6.7, 11.7), ("moss-wash", 6.8, 8.0), ("on-moss", 8.1, 10.0)],
    "stop": [("sheet", 7.7, 8.6), ("ground", 6.5, 9.5), ("stop-wash", 6.4, 7.7), ("on-stop", 7.8, 8.9)],
    "gorse": [("on-gorse", 10.9, 10.9)],
}
ON_WASHES = {
    "ink": [(14.7, 12.8), (15.7, 11.2), (14.3, 11.2), (14.5, 12.4), (14.7, 11.4), (14.4, 13.5), (14.5, 13.6)],
    "ink-soft": [(7.8, 7.9), (8.3, 7.0), (7.6, 6.9), (7.7, 7.7), (7.8, 7.1), (7.7, 8.4), (7.7, 8.4)],
}
SHAPES = [
    ("rule", "sheet", 4.9, 5.2), ("rule", "ground", 4.1, 5.7), ("rule", "gorse-wash", 4.5, 3.8),
    ("ink", "body-paint", 17.2, 12.9), ("ink", "fitting", 13.7, 10.3), ("loch", "bracken-wash", 7.0, 8.2),
    ("bracken", "loch-wash", 6.3, 6.9), ("bracken", "body-paint", 7.5, 8.0), ("stop", "stop-wash", 6.4, 7.7),
]  # fmt: skip


@pytest.mark.parametrize(("front", "back", "day", "dusk"), [(f, *row) for f, rows in TEXTS.items() for row in rows])
def test_text_is_readable_in_both_lights(front, back, day, dusk):
    assert ratios(front, back) == (day, dusk)
    assert min(day, dusk) >= TEXT


WASHED = [(front, *pair) for front, row in ON_WASHES.items() for pair in zip(WASHES, row, strict=True)]


@pytest.mark.parametrize(("front", "wash", "expected"), WASHED)
def test_ink_is_readable_on_every_wash(front, wash, expected):
    assert ratios(front, wash) == expected
    assert min(expected) >= TEXT


@pytest.mark.parametrize(("front", "back", "day", "dusk"), SHAPES)
def test_edges_and_flags_can_be_told_from_what_lies_under_them(front, back, day, dusk):
    assert ratios(front, back) == (day, dusk)
    assert min(day, dusk) >= SHAPE


def test_gorse_needs_its_ink_edge_by_day_and_stands_alone_at_dusk():
    assert ratios("gorse", "sheet") == (1.5, 10.7)
    assert ratios("ink", "gorse") == (10.9, 1.4)


def test_both_lights_know_the_same_hues():
    for hue in HUES:
        assert tokens("daylight")[hue] != tokens("dusk")[hue]


@pytest.mark.parametrize("name", sorted(set(HEX) - {"paper"}))
def test_paper_uses_the_daylight_colours(name):
    assert HEX[name] == tokens("daylight")[name]


@pytest.mark.parametrize("sheet", sorted(CSS.glob("*.css")), ids=lambda path: path.name)
def test_no_figure_on_a_screen_is_under_17_px(sheet):
    sizes = re.findall(r"font-size: (\d+(?:\.\d+)?)px", sheet.read_text())
    assert all(float(size) >= 17 for size in sizes)


@pytest.mark.parametrize("sheet", sorted(CSS.glob("*.css")), ids=lambda path: path.name)
def test_sheets_name_only_tokens_that_exist(sheet):
    known = set(re.findall(r"(--[a-z0-9-]+):", "".join(path.read_text() for path in CSS.glob("*.css"))))
    assert set(re.findall(r"var\((--[a-z0-9-]+)\)", sheet.read_text())) <= known


@pytest.mark.parametrize("sheet", sorted(CSS.glob("*.css")), ids=lambda path: path.name)
def test_sheets_fetch_nothing_but_our_own_files(sheet):
    for address in re.findall(r'url\("?([^")]+)', sheet.read_text()):
        assert (sheet.parent / address).is_file()
