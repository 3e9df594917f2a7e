"""One tablet, several people: two taps and a PIN, with and without a signal; the lock keeps what was typed."""

from collections.abc import Callable

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

from tests.browser import steps

PIN = "4071"
MINUTES = "05:20"
KNOWN = """() => new Promise((resolve) => {
  indexedDB.open("levelpeg").onsuccess = ({ target }) => {
    const count = target.result.transaction("people").objectStore("people").count();
    count.onsuccess = () => resolve(count.result > 1);
  };
})"""
AUTHORS = """() => new Promise((resolve) => {
  indexedDB.open("levelpeg").onsuccess = ({ target }) => {
    const rows = target.result.transaction("outbox").objectStore("outbox").getAll();
    rows.onsuccess = () => resolve(rows.result.map(({ kind, author, token }) => [kind, author, token.length > 20]));
  };
})"""


def set_pin(page: Page) -> None:
    page.goto("/me/")
    page.get_by_label("Your password").fill(steps.PASSWORD)
    page.get_by_label("PIN, 4 to 8 digits").fill(PIN)
    page.get_by_role("button", name="Keep the PIN").tap()
    expect(page.get_by_text("You have a PIN.")).to_be_visible()


@pytest.fixture
def shared(as_person: Callable[[str], Page], under_way: dict[str, str]) -> Page:
    """Isla with her PIN was here; Ruth, who may do the pickup too, stands at its station now."""
    page = as_person("isla")
    set_pin(page)
    steps.sign_out(page)
    as_person("ruth")
    page.goto(under_way["pickup station"])
    is_ready(page)
    return page


def is_ready(page: Page) -> None:
    """The page catches its forms, and who is known here is on the tablet."""
    expect(page.locator("html[data-ready]")).to_be_attached()
    page.wait_for_function(KNOWN)


def name_of(page: Page) -> Locator:
    return page.locator("a[data-person]")


def take_over(page: Page, person: str, pin: str) -> None:
    """Two taps, then the PIN."""
    name_of(page).tap()
    page.locator(".people").get_by_role("button", name=person).tap()
    give(page, pin)


def give(page: Page, pin: str) -> None:
    page.get_by_label("PIN", exact=True).fill(pin)
    page.get_by_role("button", name="Go on").tap()


def test_two_taps_and_the_pin_and_the_walk_stays(shared: Page) -> None:
    here = shared.url
    take_over(shared, "Isla Macrae", PIN)
    expect(name_of(shared)).to_have_text("Isla M.")
    assert shared.url == here


def test_a_wrong_pin_is_said_and_ruth_stays(shared: Page) -> None:
    take_over(shared, "Isla Macrae", "1111")
    expect(shared.get_by_text("Not the PIN of Isla Macrae. 4 more tries")).to_be_visible()
    shared.get_by_role("button", name="Back to the work").tap()
    expect(name_of(shared)).to_have_text("Ruth A.")
    expect(shared.locator("main.walk")).to_be_visible()


def test_the_lock_covers_the_work_and_keeps_what_was_typed(shared: Page) -> None:
    take_over(shared, "Isla Macrae", PIN)
    expect(name_of(shared)).to_have_text("Isla M.")
    is_ready(shared)
    shared.clock.install()
    shared.reload()
    is_ready(shared)
    shared.get_by_text("New mark", exact=True).tap()
    shared.get_by_label("Where, in words").fill("locker door, low")
    shared.clock.fast_forward(MINUTES)
    expect(shared.get_by_role("heading", name="Who is here?")).to_be_visible()
    expect(shared.locator("main.walk")).to_be_hidden()
    shared.locator(".people").get_by_role("button", name="Isla Macrae").tap()
    give(shared, PIN)
    expect(shared.locator("main.walk")).to_be_visible()
    expect(shared.get_by_label("Where, in words")).to_have_value("locker door, low")


def test_without_a_signal_the_entries_carry_who_took_over(shared: Page, context: BrowserContext) -> None:
    take_over(shared, "Isla Macrae", PIN)
    expect(name_of(shared)).to_have_text("Isla M.")
    isla = name_of(shared).get_attribute("data-person")
    is_ready(shared)
    by_password(shared, "Ruth Aldane", "Ruth A.")
    is_ready(shared)
    context.set_offline(True)
    take_over(shared, "Isla Macrae", "1111")
    expect(shared.get_by_text("Not the PIN of Isla Macrae. 4 more tries")).to_be_visible()
    give(shared, PIN)
    expect(name_of(shared)).to_have_text("Isla M.")
    shared.locator("form[data-kind=check] button[value=good]").first.tap()
    expect(shared.locator("#kept")).to_contain_text("No signal")
    assert shared.evaluate(AUTHORS) == [["check", isla, True]]
    context.set_offline(False)
    shared.reload()
    expect(shared.get_by_text("Taken over without a signal.")).to_be_visible()
    shared.locator(".people").get_by_role("button", name="Isla Macrae").tap()
    give(shared, PIN)
    expect(shared.locator("main.walk")).to_be_visible()
    expect(name_of(shared)).to_have_text("Isla M.")


def by_password(page: Page, person: str, short: str) -> None:
    name_of(page).tap()
    page.locator(".people").get_by_role("button", name=person).tap()
    page.locator(".who").get_by_label("Password", exact=True).fill(steps.PASSWORD)
    page.get_by_role("button", name="Go on").tap()
    expect(name_of(page)).to_have_text(short)
