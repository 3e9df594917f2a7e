"""Large enough for a thumb in a glove, and for eyes in the sun: measured on the rendered page, held either way."""

from collections.abc import Callable, Iterable

import pytest
from playwright.sync_api import Page

from tests.browser.chromium import LANDSCAPE, PORTRAIT
from tests.browser.seeing import small_targets, small_texts, unfold
from tests.browser.steps import OFFICE

PLACES = ("day board", "rental", "pickup station", "return station", "look-through", "statement", "record")
held_either_way = pytest.mark.parametrize("glass", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])


def too_small(page: Page, under_way: dict[str, str], places: Iterable[str]) -> str:
    found = []
    for place in places:
        page.goto(under_way[place])
        found += [f"{place}: {line}" for line in small_targets(page) + small_texts(page)]
    return "\n".join(found)


@held_either_way
def test_targets_and_text(page: Page, as_person: Callable[[str], Page], under_way: dict[str, str]) -> None:
    found = too_small(as_person("callum"), under_way, PLACES)
    assert not found, found


@held_either_way
def test_in_the_office(page: Page, as_person: Callable[[str], Page], under_way: dict[str, str]) -> None:
    found = too_small(as_person("ruth"), under_way, OFFICE)
    assert not found, found


@held_either_way
def test_a_station_with_everything_unfolded(
    page: Page, as_person: Callable[[str], Page], under_way: dict[str, str]
) -> None:
    as_person("isla").goto(under_way["pickup station"])
    unfold(page)
    found = small_targets(page) + small_texts(page)
    assert not found, "\n".join(found)
