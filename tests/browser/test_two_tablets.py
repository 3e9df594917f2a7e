"""Two tablets on one walk-round: each sees what the other has answered, and nobody's typing is disturbed by it."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, Playwright, expect

from tests.browser import steps
from tests.browser.serving import Running
from tests.browser.yard import Tablet, all_sent, put_by, ready, says, tablet_in_the_yard

CUSTOMER = "Tomas Iveldt"


@pytest.fixture
def second(playwright: Playwright, yard_server: Running, tmp_path: Path) -> Iterator[Tablet]:
    with tablet_in_the_yard(playwright, tmp_path / "second", yard_server) as found:
        put_by(found.open(), "ruth")
        yield found


@pytest.fixture
def both(device: Tablet, second: Tablet) -> tuple[Page, Page]:
    """At station 6 of one pickup."""
    steps.begin_pickup(device.page, CUSTOMER)
    ready(device.page)
    steps.go_to_station(device.page, 6)
    second.page.goto(device.page.url)
    ready(second.page)
    return device.page, second.page


def looks_again(page: Page) -> None:
    """As when the tablet is taken up again: it asks at once and not within fifteen seconds."""
    page.evaluate("() => { document.dispatchEvent(new Event('visibilitychange')); }")


def answered(page: Page, question: str) -> object:
    return page.get_by_role("group", name=question, exact=True).get_by_role("button", pressed=True)


def test_one_sees_what_the_other_answers(both: tuple[Page, Page]) -> None:
    first, second = both
    steps.answer(first, "Smell of gas", "None")
    looks_again(second)
    expect(answered(second, "Smell of gas")).to_have_text("None")


def test_what_is_being_typed_stays(both: tuple[Page, Page]) -> None:
    """Who typed had not seen the other's figure: both are kept, and one is to be picked."""
    first, second = both
    field = second.get_by_role("textbox", name="Front cylinder, kg")
    field.press_sequentially("11.")
    steps.read(first, "Front cylinder, kg", "10.4")
    steps.answer(first, "Smell of gas", "None")
    looks_again(second)
    expect(answered(second, "Smell of gas")).to_have_text("None")
    expect(field).to_have_value("11.")
    expect(field).to_be_focused()
    field.press_sequentially("7")
    field.press("Enter")
    says(second, "2 answers for one check")
    looks_again(first)
    expect(first.get_by_role("textbox", name="Front cylinder, kg")).to_have_value("11.7")
    both_said = first.get_by_role("group", name="Answers that do not agree")
    expect(both_said.get_by_role("button")).to_have_count(2)


def test_two_answers_for_one_check_are_both_kept_until_one_is_picked(
    both: tuple[Page, Page], second: Tablet
) -> None:  # fmt: skip
    first, other = both
    second.signal(False)
    steps.answer(other, "Hose and regulator", "Bad")
    steps.answer(first, "Hose and regulator", "Good")
    second.signal(True)
    says(other, "2 answers for one check")
    looks_again(first)
    says(first, "2 answers for one check")
    first.get_by_role("group", name="Answers that do not agree").get_by_role("button", name="Bad").tap()
    all_sent(first)
    expect(answered(first, "Hose and regulator")).to_have_text("Bad")
    looks_again(other)
    all_sent(other)
