"""Nothing lies beyond the edge: held either way, in both lights, for either hand, and with text twice as large."""

from collections.abc import Callable, Iterable

import pytest
from playwright.sync_api import Page

from tests.browser.chromium import LANDSCAPE, PORTRAIT
from tests.browser.seeing import barriers, beyond_the_edge, double_the_text
from tests.browser.steps import OFFICE

PLACES = (
    "day board", "rental", "pickup station", "return station", "look-through", "statement", "record",
)  # fmt: skip
WAYS = {"daylight": {}, "dusk": {"light": "dusk"}, "left hand": {"hand": "left"}}
EDGELESS = """() => [...document.querySelectorAll("main :is(button, .act, .go, input, select, textarea)")]
  .filter((one) => one.checkVisibility() && !["hidden", "file"].includes(one.type))
  .filter((one) => one.getBoundingClientRect().width > 2)
  .filter((one) => getComputedStyle(one).borderTopStyle === "none" && !one.closest(".step, svg, .frame"))
  .map((one) => one.outerHTML.slice(0, 160))"""
held_either_way = pytest.mark.parametrize("glass", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])


def wide(
    page: Page, under_way: dict[str, str], prepare: Callable[[], None], places: Iterable[str] = PLACES
) -> list[str]:
    found = []
    for place in places:
        page.goto(under_way[place])
        prepare()
        found += [f"{place}: {line}" for line in beyond_the_edge(page)]
    return found


@held_either_way
@pytest.mark.parametrize("way", WAYS)
def test_fits_the_glass(page: Page, as_person: Callable[[str], Page], under_way: dict[str, str], way: str) -> None:
    def prepare() -> None:
        page.evaluate("way => { Object.assign(document.documentElement.dataset, way); }", WAYS[way])

    as_person("callum")
    found = wide(page, under_way, prepare)
    assert not found, "\n".join(found)


@held_either_way
def test_fits_with_text_twice_as_large(page: Page, as_person: Callable[[str], Page], under_way: dict[str, str]) -> None:
    as_person("callum")
    found = wide(page, under_way, lambda: double_the_text(page))
    assert not found, "\n".join(found)


@held_either_way
@pytest.mark.parametrize("text", ["as it is", "twice as large"])
def test_the_office_fits(page: Page, as_person: Callable[[str], Page], under_way: dict[str, str], text: str) -> None:
    as_person("ruth")
    found = wide(page, under_way, lambda: double_the_text(page) if "twice" in text else None, OFFICE)
    assert not found, "\n".join(found)


@pytest.mark.parametrize("place", ["day board", "pickup station", "return station", "statement"])
def test_in_the_persons_own_colours(
    page: Page, as_person: Callable[[str], Page], under_way: dict[str, str], place: str
) -> None:
    """Every control still has an edge, what is pressed and where one is still show, and nothing is in the way."""
    page.emulate_media(forced_colors="active")
    as_person("callum").goto(under_way[place])
    edgeless = page.evaluate(EDGELESS)
    assert not edgeless, "\n".join(edgeless)
    found = barriers(page)
    assert not found, "\n".join(found)


def test_light_and_hand_go_with_the_person(page: Page, as_person: Callable[[str], Page]) -> None:
    as_person("maeve").goto("/me/")
    page.get_by_text("Dusk").tap()
    page.get_by_text("Left").tap()
    with page.expect_response("**/me/"):
        page.get_by_role("button", name="Keep", exact=True).tap()
    page.goto("/")
    assert page.evaluate("() => ({...document.documentElement.dataset})") == {"light": "dusk", "hand": "left"}
