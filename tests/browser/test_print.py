"""The customer has a copy at once: what was looked through, printed without a signal."""

from collections.abc import Callable

from playwright.sync_api import Page, expect

from tests.browser import steps

AsPerson = Callable[[str], Page]


def test_a_copy_without_a_signal(page: Page, as_person: AsPerson, under_way: dict[str, str]) -> None:
    page.add_init_script("window.print = () => { document.documentElement.dataset.printed = ''; };")
    as_person("isla")
    page.goto(under_way["look-through"])
    page.wait_for_selector("html[data-put-by]", state="attached")
    page.context.set_offline(True)
    expect(page.locator("#kept")).to_contain_text("No signal")
    steps.sign(page, "Isla Macrae")
    page.get_by_role("button", name="Print a copy").tap()
    page.wait_for_selector("html[data-printed]", state="attached")
    page.emulate_media(media="print")
    expect(page.get_by_role("heading", name="Look through")).to_be_visible()
    expect(page.get_by_text("Smell of gas").first).to_be_visible()
    expect(page.get_by_role("img", name="Sheet for the signature of Isla Macrae")).to_be_visible()
    expect(page.get_by_role("button", name="Hand over the keys")).to_be_hidden()
    page.context.set_offline(False)
