"""Chromium as a tablet on a real server; whatever goes wrong in the page fails the test."""

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from tests.browser import steps
from tests.browser.chromium import LANDSCAPE, LAUNCH, tablet
from tests.browser.serving import Server, demo_server
from tests.browser.watching import Watch

HERE = __name__.rpartition(".")[0].replace(".", "/")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if HERE in item.path.as_posix():
            item.add_marker("browser")


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with demo_server(tmp_path_factory.mktemp("yard")) as running:
        yield running


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


@pytest.fixture(scope="session")
def under_way(browser: Browser, server: Server) -> dict[str, str]:
    """Addresses of a day in the yard, by what is there: a pickup and a return are under way, another is settled."""
    context = browser.new_context(base_url=server.address, **tablet(LANDSCAPE))
    found = steps.begin_the_day(context.new_page())
    context.close()
    return found
