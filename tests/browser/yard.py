"""A tablet in the yard: a profile that outlives its browser, a signal that comes and goes, a server of its own."""

import os
import signal
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from playwright.sync_api import BrowserContext, Error, Page, Playwright, expect

from tests.browser import steps
from tests.browser.chromium import LANDSCAPE, LAUNCH, tablet
from tests.browser.serving import Running

OFFLINE = "No signal. Carry on, all is kept here"
SENT = "All sent"
PATIENCE_S = 60


@dataclass
class Tablet:
    """One device. `page` is the open page of the running browser."""

    playwright: Playwright
    profile: Path
    running: Running
    context: BrowserContext | None = None
    errors: list[str] = field(default_factory=list)

    @property
    def page(self) -> Page:
        assert self.context
        return self.context.pages[-1]

    def open(self, *, offline: bool = False) -> Page:
        """Starts the browser with what its profile holds."""
        options = LAUNCH | tablet(LANDSCAPE) | {"base_url": self.running.server.address}
        self.context = self.playwright.chromium.launch_persistent_context(self.profile, **options)
        self.context.set_default_timeout(30_000)
        self.context.on("weberror", lambda error: self.errors.append(str(error.error)))
        self.context.set_offline(offline)
        return self.page

    def signal(self, there: bool) -> None:
        assert self.context
        self.context.set_offline(not there)

    def close(self) -> None:
        if self.context:
            self.context.close()
            self.context = None

    def kill(self) -> None:
        """The battery is out: no process of this profile finishes anything."""
        for pid in _pids_of(self.profile):
            os.kill(pid, signal.SIGKILL)
        while _pids_of(self.profile):
            time.sleep(0.02)
        with suppress(Error):
            self.close()
        self.context = None
        (self.profile / "SingletonLock").unlink(missing_ok=True)


def _pids_of(profile: Path) -> list[int]:
    """Processes that were started with this profile."""
    mark = f"--user-data-dir={profile}".encode()
    return [int(path.parent.name) for path in Path("/proc").glob("[0-9]*/cmdline") if mark in _bytes_of(path)]


def _bytes_of(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError:
        return b""


@contextmanager
def tablet_in_the_yard(playwright: Playwright, profile: Path, running: Running) -> Iterator[Tablet]:
    found = Tablet(playwright, profile, running)
    try:
        yield found
    finally:
        found.close()
    assert not found.errors, "\n".join(found.errors)


def put_by(page: Page, username: str = "isla") -> None:
    """Signs in and waits until the day is on the tablet, shell and all: it may go offline from here."""
    steps.sign_in(page, username)
    page.wait_for_selector("html[data-put-by]", state="attached", timeout=60_000)


def ready(page: Page) -> None:
    page.wait_for_selector("html[data-ready]", state="attached")


def says(page: Page, words: str) -> None:
    """In the masthead: where work is."""
    expect(page.locator("#kept")).to_have_text(words, timeout=PATIENCE_S * 1000)


def all_sent(page: Page) -> None:
    """Nothing waits in the outbox, and the masthead says so."""
    for _ in range(PATIENCE_S * 5):
        if not stored(page, "outbox") and page.locator("#kept").inner_text() == SENT:
            return
        page.wait_for_timeout(200)
    raise AssertionError(f"{page.locator('#kept').inner_text()}: {stored(page, 'outbox')}")


def begin_here(page: Page, customer: str, *, walk: str = "pickup") -> None:
    """From the day that the tablet put by."""
    page.goto("/shell/")
    ready(page)
    row = page.get_by_role("listitem").filter(has_text=customer)
    if walk == "return":
        row.get_by_text("Begin return").first.tap()
    row.get_by_role("button", name=f"Begin {walk}").tap()
    steps.at_station(page, 1)


def rows_of(running: Running, question: str) -> list[tuple[Any, ...]]:
    return running.server.rows(question)


def stored(page: Page, store: str) -> list[dict[str, Any]]:
    """The rows of one of the tablet's stores."""
    rows: list[dict[str, Any]] = page.evaluate(
        """(store) => new Promise((resolve, reject) => {
          const opening = indexedDB.open("levelpeg");
          opening.onerror = () => reject(opening.error);
          opening.onsuccess = () => {
            const asked = opening.result.transaction(store).objectStore(store).getAll();
            asked.onsuccess = () => {
              opening.result.close();
              resolve(asked.result.map((row) => ({ ...row, blob: undefined })));
            };
          };
        })""",
        store,
    )
    return rows
