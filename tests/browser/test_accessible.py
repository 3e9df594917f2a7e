"""Pages beside the two walk-rounds pass WCAG 2.2 A and AA too. The walk-rounds are looked at in test_whole_job."""

import re
from collections.abc import Callable, Iterable

from playwright.sync_api import Page, expect

from tests.browser.seeing import barriers, dusk, unfold
from tests.browser.steps import OFFICE
from tests.browser.watching import Watch


def no_barriers(page: Page) -> None:
    found = barriers(page)
    assert not found, "\n".join(found)


def test_sign_in(page: Page) -> None:
    page.goto("/sign-in/")
    no_barriers(page)


def test_sign_in_refused(page: Page) -> None:
    page.goto("/sign-in/")
    page.get_by_label("Name").fill("isla")
    page.get_by_label("Password").fill("not hers")
    page.get_by_role("button", name="Sign in").tap()
    expect(page.get_by_role("alert")).to_contain_text("do not go together")
    no_barriers(page)


def test_me(as_person: Callable[[str], Page]) -> None:
    page = as_person("isla")
    page.goto("/me/")
    no_barriers(page)


def test_new_booking(as_person: Callable[[str], Page]) -> None:
    page = as_person("isla")
    page.get_by_role("link", name="New booking").tap()
    expect(page.get_by_role("heading", name="New booking")).to_be_visible()
    no_barriers(page)


def test_new_booking_refused(as_person: Callable[[str], Page]) -> None:
    page = as_person("isla")
    page.get_by_role("link", name="New booking").tap()
    page.get_by_role("button", name="Book").tap()
    expect(page.get_by_text("Not booked yet.")).to_be_visible()
    no_barriers(page)


def test_record_lookup_by_anyone(page: Page, as_person: Callable[[str], Page], under_way: dict[str, str]) -> None:
    as_person("isla").goto(under_way["record"])
    address = page.get_by_role("link", name="See what they see").get_attribute("href")
    page.context.clear_cookies()
    page.goto(str(address))
    expect(page.get_by_role("heading", name=re.compile("^LK-"))).to_be_visible()
    no_barriers(page)


def test_nothing_here(page: Page, as_person: Callable[[str], Page], watch: Watch) -> None:
    watch.allowed.add(404)
    as_person("isla").goto("/rental/no-such/")
    expect(page.get_by_role("heading", name="Not here")).to_be_visible()
    no_barriers(page)


AT_THE_DESK = ("/me/second-factor/", "/me/password/", "/tablets/", "/branch/inverlark/api-access/",
               "/branch/inverlark/webhook-deliveries/", "/api/")  # fmt: skip


def test_signing_in_and_joining(as_person: Callable[[str], Page]) -> None:
    page = as_person("anders")
    found = barriers_at(page, {place: place for place in AT_THE_DESK}, AT_THE_DESK, unfold)
    assert not found, found


AT_DUSK = ("day board", "pickup station", "return station", "statement", "record")


def barriers_at(page: Page, under_way: dict[str, str], places: Iterable[str], prepare: Callable[[Page], None]) -> str:
    found = []
    for place in places:
        page.goto(under_way[place])
        prepare(page)
        found += barriers(page)
    return "\n".join(found)


def test_in_the_office(as_person: Callable[[str], Page], under_way: dict[str, str]) -> None:
    found = barriers_at(as_person("ruth"), under_way, OFFICE, unfold)
    assert not found, found


def test_at_dusk(as_person: Callable[[str], Page], under_way: dict[str, str]) -> None:
    found = barriers_at(as_person("callum"), under_way, AT_DUSK, dusk)
    assert not found, found
