"""A manager of a house that asks for it: an app, its recovery codes, a passkey; each lets in, and nothing else does."""

import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.access.codes import STEP_S, code_at, code_now
from tests.browser import steps
from tests.browser.chromium import LANDSCAPE, tablet
from tests.browser.serving import Running, copy_of, running
from tests.browser.watching import Watch

AUTHENTICATOR = {
    "protocol": "ctap2", "transport": "internal", "hasResidentKey": True, "hasUserVerification": True,
    "isUserVerified": True, "automaticPresenceSimulation": True,
}  # fmt: skip


@pytest.fixture
def house(filled: Path, tmp_path: Path) -> Iterator[Running]:
    with running(copy_of(filled, tmp_path / "var"), "tests.browser.required_wsgi") as found:
        yield found


@pytest.fixture
def desk(browser: Browser, house: Running, watch: Watch) -> Iterator[Page]:
    """By the server's name: a passkey is bound to one."""
    address = house.server.address.replace("127.0.0.1", "localhost")
    context = browser.new_context(base_url=address, **tablet(LANDSCAPE))
    page = context.new_page()
    watch.over(page)
    session = context.new_cdp_session(page)
    session.send("WebAuthn.enable")
    session.send("WebAuthn.addVirtualAuthenticator", {"options": AUTHENTICATOR})
    yield page
    context.close()


def give_password(page: Page) -> None:
    page.goto("/sign-in/?other=1")
    page.get_by_label("Name").fill("ruth")
    page.get_by_label("Password").fill(steps.PASSWORD)
    with page.expect_navigation():
        page.get_by_role("button", name="Sign in").tap()


def is_at(page: Page, heading: str) -> None:
    expect(page.get_by_role("heading", name=heading, level=1)).to_be_visible()


def leave(page: Page) -> None:
    page.wait_for_load_state()
    page.goto("/me/")
    page.get_by_role("button", name="Sign out", exact=False).last.tap()
    is_at(page, "Sign in")


def set_up_an_app(page: Page) -> tuple[str, list[str]]:
    """The secret of the app and the recovery codes."""
    page.get_by_role("link", name="Set up an app").tap()
    is_at(page, "Set up an app")
    drawn = page.locator(".qr").evaluate("(image) => image.complete && image.naturalWidth > 100")
    assert drawn
    page.get_by_text("The phone cannot read it").tap()
    secret = page.locator(".secret").inner_text().replace(" ", "")
    page.get_by_label("Code").fill(code_now(secret))
    page.get_by_role("button", name="Keep this app").tap()
    is_at(page, "Recovery codes")
    codes = page.locator(".codes li").all_inner_texts()
    page.get_by_role("button", name="I have kept them").tap()
    page.wait_for_url("**/branch/**")
    return secret, codes


def test_app_passkey_and_recovery_code(desk: Page) -> None:
    give_password(desk)
    is_at(desk, "Second factor")
    desk.goto("/search/")
    is_at(desk, "Second factor")
    secret, codes = set_up_an_app(desk)
    assert len(set(codes)) == 10

    desk.goto("/me/second-factor/")
    desk.get_by_role("link", name="Add a passkey").tap()
    desk.get_by_label("A name for it").fill("key on my ring")
    desk.get_by_role("button", name="Add the passkey").tap()
    expect(desk.get_by_text("key on my ring")).to_be_visible()

    leave(desk)
    give_password(desk)
    is_at(desk, "Your second factor")
    desk.goto("/search/")
    is_at(desk, "Your second factor")
    desk.get_by_role("button", name="Use a passkey").tap()
    expect(desk.get_by_label("Look for")).to_be_visible()

    for code in (code_at(secret, _soon()), codes[0]):
        leave(desk)
        give_password(desk)
        desk.get_by_label("Code").fill(code)
        desk.get_by_role("button", name="Sign in").tap()
        desk.wait_for_url("**/branch/**")


def _soon() -> float:
    """A code counts once: the next one is taken half a minute early, as of a phone that is ahead."""
    return time.time() + STEP_S


def test_without_a_passkey_the_page_says_so_and_the_code_is_there(desk: Page, house: Running) -> None:
    """By a number in place of a name no passkey is to be had."""
    desk.goto(f"{house.server.address}/sign-in/")
    desk.get_by_label("Name").fill("ruth")
    desk.get_by_label("Password").fill(steps.PASSWORD)
    desk.get_by_role("button", name="Sign in").tap()
    expect(desk.get_by_text("This one is reached by a number: open it by its name.")).to_be_visible()
    expect(desk.get_by_role("link", name="Set up an app")).to_be_visible()
