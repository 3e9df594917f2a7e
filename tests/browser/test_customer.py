"""The customer's own page on a phone, its link at the desk, and the public check page: no barriers, large enough."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser.seeing import barriers, beyond_the_edge, double_the_text, dusk, small_targets, small_texts, unfold
from tests.browser.steps import open_rental, to_the_customers_page

AsPerson = Callable[[str], Page]
# What is pressed on the customer's page to get there.
PRESSED = {
    "page": (),
    "report": ("Something is not right",),
    "topics": ("Read the topics again",),
    "statement": ("Every line, and why",),
    "objection": ("Every line, and why", "I object to this line"),
}
# Akiko Brandt is out; Maren Oduya's rental is settled.
WHOSE = {"report": "Akiko Brandt", "page": "Akiko Brandt"}


def looked_at(page: Page, name: str) -> None:
    open_rental(page, WHOSE.get(name, "Maren Oduya"))
    to_the_customers_page(page)
    for words in PRESSED[name]:
        page.get_by_role("link", name=words).first.tap()
        expect(page.get_by_role("navigation", name="Back")).to_be_visible()
    unfold(page)


@pytest.mark.parametrize("name", PRESSED)
def test_on_the_phone(page: Page, as_person: AsPerson, name: str) -> None:
    looked_at(as_person("isla"), name)
    found = barriers(page) + small_targets(page) + small_texts(page) + beyond_the_edge(page)
    assert not found, "\n".join(found)


@pytest.mark.parametrize("name", ["page", "statement"])
def test_with_the_text_twice_as_large(page: Page, as_person: AsPerson, name: str) -> None:
    looked_at(as_person("isla"), name)
    double_the_text(page)
    assert not beyond_the_edge(page)


@pytest.mark.parametrize("light", ["day", "dusk"])
def test_the_link_at_the_desk(page: Page, as_person: AsPerson, light: str) -> None:
    open_rental(as_person("isla"), "Akiko Brandt")
    page.get_by_role("link", name="Customer’s link").tap()
    page.get_by_role("button", name="Make").tap()
    expect(page.get_by_role("button", name="Withdraw this link").first).to_be_visible()
    if light == "dusk":
        dusk(page)
    found = barriers(page) + small_targets(page) + small_texts(page) + beyond_the_edge(page)
    assert not found, "\n".join(found)


def test_the_public_check_page(page: Page) -> None:
    page.goto("/check/")
    found = barriers(page) + small_targets(page) + small_texts(page) + beyond_the_edge(page)
    assert not found, "\n".join(found)


def test_a_report_from_the_phone_is_seen_at_the_desk(page: Page, as_person: AsPerson) -> None:
    looked_at(as_person("isla"), "report")
    page.get_by_label("What is not right").fill("The step creaks.")
    page.get_by_role("button", name="Send it").tap()
    expect(page.get_by_text("The step creaks.")).to_be_visible()
    open_rental(as_person("isla"), "Akiko Brandt")
    expect(page.get_by_text("The step creaks.")).to_be_visible()
