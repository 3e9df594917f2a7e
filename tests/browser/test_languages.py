"""No text is cut off, in German and in a language of brackets a third longer than the house's, held either way."""

from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser import steps
from tests.browser.chromium import LANDSCAPE, PORTRAIT, tablet
from tests.browser.seeing import beyond_the_edge, cut_off, unfold
from tests.browser.serving import Server, copy_of, running

SPEAKERS = {"brackets": "fr", "german": "de"}
SAYS = {"fr": "[!!! Lévélpég, dáý bóáŕd", "de": "Tagestafel"}
YARD = ("day board", "rental", "pickup", "pickup station", "return station", "look-through", "statement", "record")
held_either_way = pytest.mark.parametrize("glass", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])


@pytest.fixture(scope="module")
def server(filled: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    var = copy_of(filled, tmp_path_factory.mktemp("longer") / "var")
    with running(var, "tests.browser.pseudo_wsgi") as found:
        yield found.server


@pytest.fixture(scope="module")
def under_way(browser: Browser, server: Server) -> dict[str, str]:
    context = browser.new_context(base_url=server.address, **tablet(LANDSCAPE))
    found = steps.begin_the_day(context.new_page())
    context.close()
    return found | {"me": "/me/"}


@pytest.fixture(scope="module", params=SPEAKERS.values(), ids=SPEAKERS)
def language(request: pytest.FixtureRequest, under_way: dict[str, str], server: Server) -> str:
    """Everybody of the demo speaks it, once the day is under way."""
    spoken: str = request.param
    everybody = f"from shared.access.models import Person; print(Person.objects.update(language={spoken!r}))"
    told = server.manage("shell", "--no-imports", "-c", everybody)
    assert told.returncode == 0, told.stderr
    return spoken


def sign_in(page: Page, username: str, language: str) -> None:
    page.goto("/sign-in/")
    page.locator("[name=username]").fill(username)
    page.locator("[name=password]").fill(steps.PASSWORD)
    page.locator("main button[type=submit]").first.tap()
    page.wait_for_url("**/branch/**")
    expect(page.locator("header").first).to_contain_text(SAYS[language])


def looked_at(page: Page, address: str) -> list[str]:
    """The page as it opens, then with everything unfolded."""
    page.goto(address)
    found = beyond_the_edge(page) + cut_off(page)
    unfold(page)
    return found + beyond_the_edge(page) + cut_off(page)


def looked_through(page: Page, under_way: dict[str, str], places: Iterable[str]) -> str:
    return "\n".join(f"{place}: {line}" for place in places for line in looked_at(page, under_way[place]))


@held_either_way
def test_in_the_yard(page: Page, under_way: dict[str, str], language: str) -> None:
    sign_in(page, "callum", language)
    found = looked_through(page, under_way, YARD)
    assert not found, found


@held_either_way
def test_in_the_office(page: Page, under_way: dict[str, str], language: str) -> None:
    sign_in(page, "ruth", language)
    found = looked_through(page, under_way, [*steps.OFFICE, "me"])
    assert not found, found
