"""Chromium as a tablet on a real server; whatever goes wrong in the page fails the test."""

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright

from tests.browser import steps
from tests.browser.chromium import LANDSCAPE, LAUNCH, tablet
from tests.browser.serving import Running, Server, copy_of, fill_once, running
from tests.browser.watching import Watch
from tests.browser.yard import Tablet, put_by, tablet_in_the_yard

NOTHING_ELSE_TODAY = {"branch": "Inverlark", "date": "2026-08-14", "walks": []}
HERE = __name__.rpartition(".")[0].replace(".", "/")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if HERE in item.path.as_posix():
            item.add_marker("browser")


@pytest.fixture(scope="session")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo as it was just filled; nobody writes in it, everybody copies it.

    Workers share one. FILLED names a folder that is kept from run to run, for whoever works at one test.
    """
    base = tmp_path_factory.getbasetemp()
    shared = base.parent if "PYTEST_XDIST_WORKER" in os.environ else base
    return fill_once(Path(os.environ.get("FILLED", shared / "filled")))


@pytest.fixture(scope="module")
def server(filled: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with running(copy_of(filled, tmp_path_factory.mktemp("yard") / "var")) as found:
        yield found.server


@pytest.fixture
def yard_server(filled: Path, tmp_path: Path) -> Iterator[Running]:
    """A server for one test alone, that it may kill."""
    with running(copy_of(filled, tmp_path / "var")) as found:
        yield found


@pytest.fixture
def device(playwright: Playwright, yard_server: Running, tmp_path: Path) -> Iterator[Tablet]:
    """A tablet whose profile outlives its browser; Isla has signed in on it and the day is put by."""
    with tablet_in_the_yard(playwright, tmp_path / "profile", yard_server) as found:
        put_by(found.open())
        yield found


@pytest.fixture(scope="session")
def browser_type_launch_args() -> dict[str, Any]:
    return LAUNCH


@pytest.fixture
def glass() -> tuple[int, int]:
    """The tablet's width and height; a test that turns it gives its own."""
    return LANDSCAPE


@pytest.fixture
def browser_context_args(server: Server, glass: tuple[int, int]) -> dict[str, Any]:
    return {"base_url": server.address} | tablet(glass)


@pytest.fixture
def watch() -> Iterator[Watch]:
    seen = Watch()
    yield seen
    assert not seen.wrong, "\n".join(seen.wrong)


@pytest.fixture
def page(context: BrowserContext, watch: Watch) -> Page:
    """A tablet for pages with a signal: the rest of the day is not put by, which would take most of the time."""
    context.route("**/tablet/day/", lambda route: route.fulfill(json=NOTHING_ELSE_TODAY))
    opened = context.new_page()
    watch.over(opened)
    return opened


@pytest.fixture
def as_person(page: Page) -> Callable[[str], Page]:
    """Signs this tablet in as somebody of the demo."""

    def sign_in(username: str) -> Page:
        steps.sign_in(page, username)
        return page

    return sign_in


@pytest.fixture(scope="module")
def under_way(browser: Browser, server: Server) -> dict[str, str]:
    """Addresses of a day in the yard, by what is there: a pickup and a return are under way, another is settled."""
    context = browser.new_context(base_url=server.address, **tablet(LANDSCAPE))
    found = steps.begin_the_day(context.new_page())
    context.close()
    return found
