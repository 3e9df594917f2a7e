"""python -m tests.browser.lighthouse: what Lighthouse says of the day board, a station and a statement, as on a tablet.

Scores run from 0 to 100. Exits 1 when one is under the goal. Lighthouse 12 measures on localhost, without a network.
"""

import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import BrowserContext, sync_playwright
from tqdm import tqdm

from tests.browser import steps
from tests.browser.chromium import EXECUTABLE, LANDSCAPE, LAUNCH, QUIET, tablet
from tests.browser.serving import ROOT, demo_server

PROGRAM = ROOT / ".ci" / "lighthouse" / "node_modules" / ".bin" / "lighthouse"
PAGES = ("day board", "pickup station", "return station", "statement")
CATEGORIES = ("performance", "accessibility", "best-practices")
GOAL = 95
MINUTES = 3


def main() -> int:
    with tempfile.TemporaryDirectory() as var, sync_playwright() as playwright, demo_server(Path(var)) as server:
        browser = playwright.chromium.launch(**LAUNCH)
        context = browser.new_context(base_url=server.address, **tablet(LANDSCAPE))
        places = steps.begin_the_day(context.new_page())
        cookies = _cookies(context)
        browser.close()
        found = {name: _scores(_address(server.address, places[name]), cookies, Path(var)) for name in PAGES}
    for name, scores in found.items():
        tqdm.write("  ".join([f"{name:16}", *(f"{category} {score:3}" for category, score in scores.items())]))
    return int(any(score < GOAL for scores in found.values() for score in scores.values()))


def _cookies(context: BrowserContext) -> str:
    return "; ".join(f"{cookie.get('name')}={cookie.get('value')}" for cookie in context.cookies())


def _address(server: str, place: str) -> str:
    return place if place.startswith("http") else f"{server}{place}"


def _scores(address: str, cookies: str, folder: Path) -> dict[str, int]:
    """Of one page by a person who is signed in, on a screen as large as the tablet's."""
    report = folder / "lighthouse.json"
    headers = json.dumps({"Cookie": cookies})
    flags = " ".join(["--headless=new", "--disable-gpu", "--disable-quic", *QUIET])
    command = [
        str(PROGRAM), address, "--quiet", "--preset=desktop", "--no-enable-error-reporting", "--output=json",
        f"--only-categories={','.join(CATEGORIES)}", f"--output-path={report}", f"--extra-headers={headers}",
        f"--chrome-flags={flags}",
    ]  # fmt: skip
    subprocess.run(command, check=True, timeout=MINUTES * 60, env=os.environ | {"CHROME_PATH": EXECUTABLE})
    said = json.loads(report.read_text())
    if said["finalDisplayedUrl"] != address:
        raise RuntimeError(f"{address} led to {said['finalDisplayedUrl']}: that page was measured instead.")
    return {category: round(100 * said["categories"][category]["score"]) for category in CATEGORIES}


if __name__ == "__main__":
    sys.exit(main())
