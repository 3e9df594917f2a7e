"""What belongs to a branch where somebody is not posted does not exist for them."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser.watching import Watch


@pytest.mark.parametrize("place", ["day board", "rental", "pickup station", "statement", "record"])
def test_ida_finds_nothing_of_inverlark(
    page: Page, as_person: Callable[[str], Page], under_way: dict[str, str], watch: Watch, place: str
) -> None:
    watch.allowed.add(404)
    as_person("ida").goto(under_way[place])
    expect(page.get_by_role("heading", name="Not here")).to_be_visible()
    expect(page.get_by_text("belong to a branch that you are not posted to")).to_be_visible()
    page.get_by_role("link", name="The day board").tap()
    expect(page.get_by_text("Port Averil").first).to_be_visible()
