"""The Cab card on the tablet and on the customer's phone: no barriers, large enough, nothing beyond the edge."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser.chromium import LANDSCAPE, PORTRAIT
from tests.browser.seeing import barriers, beyond_the_edge, double_the_text, dusk, small_targets, small_texts, unfold
from tests.browser.steps import on_the_phone, open_cab_card

PAGES = ("card", "plan", "phone")
AsPerson = Callable[[str], Page]


def looked_at(page: Page, name: str) -> None:
    """From the rental by its links, as people get there; the phone's page without being signed in."""
    open_cab_card(page, "Noor Halabi")
    if name == "plan":
        page.get_by_role("link", name="Plan party and nights").tap()
        expect(page.get_by_role("heading", name="Nights")).to_be_visible()
        unfold(page)
    if name == "phone":
        on_the_phone(page)


@pytest.mark.parametrize("name", PAGES)
def test_no_barriers(page: Page, as_person: AsPerson, name: str) -> None:
    looked_at(as_person("isla"), name)
    found = barriers(page)
    assert not found, "\n".join(found)


@pytest.mark.parametrize("glass", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
@pytest.mark.parametrize("name", PAGES)
def test_targets_text_and_edges(page: Page, as_person: AsPerson, name: str) -> None:
    looked_at(as_person("isla"), name)
    found = small_targets(page) + small_texts(page) + beyond_the_edge(page)
    assert not found, "\n".join(found)


def test_at_dusk(page: Page, as_person: AsPerson) -> None:
    looked_at(as_person("isla"), "card")
    dusk(page)
    found = barriers(page)
    assert not found, "\n".join(found)


def test_with_the_text_twice_as_large(page: Page, as_person: AsPerson) -> None:
    looked_at(as_person("isla"), "phone")
    double_the_text(page)
    assert not beyond_the_edge(page)


def test_a_larger_party_is_planned_and_the_card_follows(page: Page, as_person: AsPerson) -> None:
    looked_at(as_person("isla"), "plan")
    page.get_by_label("People").fill("4")
    page.get_by_role("button", name="Keep the party").tap()
    page.get_by_role("combobox", name="Place").last.select_option("Ardnamoyle quay")
    page.get_by_role("button", name=re.compile("Keep the nights")).tap()
    expect(page.get_by_text("4 people use 36 L a day")).to_be_visible()
    expect(page.get_by_role("heading", name="Ardnamoyle quay").last).to_be_visible()
