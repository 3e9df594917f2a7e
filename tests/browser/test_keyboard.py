"""A station is answered and left without a pointer."""

import re
from collections.abc import Callable

from playwright.sync_api import Locator, Page, expect

from tests.browser import steps

REACH = 60


# Asked at once: the server's part may take the place of this one between two questions. Null: it just did.
OUTLINE = """element => element.isConnected
    ? element === document.activeElement ? getComputedStyle(element).outlineStyle : "" : null"""


def tab_to(page: Page, wanted: Locator) -> None:
    """Presses Tab until the thing has the focus, and holds that the focus can be seen there."""
    for _ in range(REACH):
        page.keyboard.press("Tab")
        if outline := _outline(wanted):
            assert outline == "solid"
            return
    raise AssertionError(f"{REACH} times Tab did not reach {wanted}")


def _outline(wanted: Locator) -> str:
    """How the focus is drawn on it; empty where the focus is elsewhere."""
    while (outline := wanted.evaluate(OUTLINE)) is None:
        pass
    return str(outline)


def press(page: Page, question: str, word: str) -> None:
    button = page.get_by_role("group", name=question, exact=True).get_by_role("button", name=word)
    tab_to(page, button)
    with steps.kept(page):
        page.keyboard.press("Enter")
    expect(button).to_have_attribute("aria-pressed", "true")


def test_a_station_without_a_pointer(page: Page, as_person: Callable[[str], Page], under_way: dict[str, str]) -> None:
    as_person("isla").goto(under_way["pickup"].replace("/station/1/", "/station/3/"))
    press(page, "Cap and flap", "Good")
    tab_to(page, page.get_by_role("textbox", name="press to say so"))
    with steps.kept(page):
        page.keyboard.press("Enter")
    _read_by_keys(page)
    _hear_by_keys(page)
    steps.photograph(page)
    steps.nothing_open(page)
    tab_to(page, page.get_by_role("link", name=re.compile("^Go on to")))
    page.keyboard.press("Enter")
    steps.at_station(page, 4)


def _read_by_keys(page: Page) -> None:
    """One on its stick by arrow, one typed."""
    tab_to(page, page.get_by_role("slider", name=re.compile("^Diesel")))
    with steps.kept(page):
        page.keyboard.press("End")
    tab_to(page, page.get_by_role("textbox", name="AUS 32, L", exact=True))
    with steps.kept(page):
        page.keyboard.type("15")
        page.keyboard.press("Enter")


def _hear_by_keys(page: Page) -> None:
    for title in ("Topic 1 of 2: Diesel only", "Topic 2 of 2: AUS 32"):
        expect(page.get_by_role("heading", name=title)).to_be_visible()
        tab_to(page, page.get_by_role("button", name="Noor: I understand"))
        with steps.kept(page):
            page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Topics heard")).to_be_visible()
