"""How long from the finger to the disk, on a processor four times as slow: python -m tests.browser.taps

A figure to look at, not a test: a busy machine is not a fault. Answers wait in the outbox meanwhile.
"""

import statistics
import tempfile
from pathlib import Path

from playwright.sync_api import Page, Playwright, sync_playwright

from tests.browser import steps
from tests.browser.serving import Running, fill, running
from tests.browser.yard import begin_here, put_by, tablet_in_the_yard

SLOWER = 4
STATIONS = (1, 2, 5, 8, 9, 10)


def taps(page: Page) -> list[float]:
    """Milliseconds of every act so far on this page."""
    return [float(ms) for ms in page.evaluate("performance.getEntriesByName('kept').map((one) => one.duration)")]


def measure(folder: Path) -> list[float]:
    fill(folder / "var")
    with running(folder / "var") as server, sync_playwright() as playwright:
        return _on(playwright, folder / "profile", server)


def _on(playwright: Playwright, profile: Path, server: Running) -> list[float]:
    with tablet_in_the_yard(playwright, profile, server) as tablet:
        put_by(tablet.open())
        tablet.signal(False)
        begin_here(tablet.page, "Tomas Iveldt")
        session = tablet.page.context.new_cdp_session(tablet.page)
        session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        for number in STATIONS:
            steps.go_to_station(tablet.page, number)
            steps.answer_well(tablet.page)
            steps.count_all(tablet.page)
        return taps(tablet.page)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        found = sorted(measure(Path(folder)))
    p95 = statistics.quantiles(found, n=20)[-1]
    print(f"{len(found)} taps: median {statistics.median(found):.0f} ms, p95 {p95:.0f} ms, longest {found[-1]:.0f} ms")  # noqa: T201
