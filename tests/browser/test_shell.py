"""The shell: small, installable, whole for each version, and never changed under someone who still has work to send."""

import gzip
import json
import shutil
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import BrowserContext, Page, Response, expect

from tests.browser import serving
from tests.browser.serving import ROOT, Running
from tests.browser.yard import Tablet, all_sent, begin_here, ready

LARGEST = 150_000
LEFT_OUT = shutil.ignore_patterns(".git", ".venv", "var", "mutants", "tests", ".*_cache", "__pycache__")


def on_the_way(response: Response) -> int:
    """Bytes as a server that compresses sends them; a font is compressed already."""
    body = response.body()
    return len(body) if response.url.endswith((".woff2", ".png")) else len(gzip.compress(body, 6))


def test_the_first_load_is_small(context: BrowserContext) -> None:
    page = context.new_page()
    loaded: list[Response] = []
    page.on("response", lambda response: loaded.append(response))  # noqa: PLW0108
    page.goto("/shell/", wait_until="networkidle")
    ready(page)
    seen = {response.url: on_the_way(response) for response in loaded if response.request.service_worker is None}
    assert len(seen) > 20
    assert sum(seen.values()) < LARGEST, json.dumps(seen, indent=1)


def test_it_can_be_installed(page: Page) -> None:
    page.goto("/shell/")
    address = page.locator("link[rel=manifest]").get_attribute("href")
    manifest = page.request.get(str(address))
    assert manifest.headers["content-type"].startswith("application/manifest+json")
    said = manifest.json()
    assert said["display"] == "standalone"
    assert said["start_url"] == said["scope"] == "/"
    drawn = {icon["sizes"]: page.request.get(icon["src"]) for icon in said["icons"] if icon["type"] == "image/png"}
    assert set(drawn) == {"192x192", "512x512"}
    for sizes, answer in drawn.items():
        assert "{}x{}".format(*Image.open(BytesIO(answer.body())).size) == sizes


def test_nobody_needs_to_be_signed_in_and_nothing_is_in_it(page: Page) -> None:
    page.goto("/shell/")
    ready(page)
    expect(page.get_by_text("Nothing of today is kept here.")).to_be_visible()
    assert "Iveldt" not in page.content()


@pytest.fixture
def two_versions(yard_server: Running, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Running:
    """The server runs out of a copy of the product, so that a test can put a newer version in its place."""
    root = Path(shutil.copytree(ROOT, tmp_path / "product", ignore=LEFT_OUT))
    monkeypatch.setattr(serving, "ROOT", root)
    yard_server.stop()
    yard_server.start()
    return yard_server


def upgrade(running: Running) -> None:
    """Stopped first: a server knows the length of the files that it started with."""
    running.stop()
    style = serving.ROOT / "static" / "css" / "walk.css"
    style.write_text(style.read_text() + "\n/* newer */\n")
    running.start()


def version(page: Page) -> str:
    return str(page.evaluate("async () => (await caches.keys()).filter((name) => name.startsWith('shell-')).join()"))


def test_a_newer_version_waits_for_a_press_and_an_empty_outbox(two_versions: Running, device: Tablet) -> None:
    page = device.page
    begin_here(page, "Tomas Iveldt")
    before = version(page)
    page.route("**/tablet/entries/", lambda route: route.abort())
    page.get_by_role("button", name="Good").first.tap()
    upgrade(two_versions)
    page.reload()
    ready(page)
    newer = page.get_by_role("button", name="A newer version is ready: use it")
    expect(newer).to_be_hidden()
    page.unroute("**/tablet/entries/")
    all_sent(page)
    with page.expect_navigation(url="**/station/*/"):
        newer.tap()
    ready(page)
    expect(page.locator(".pair [aria-pressed=true]")).to_have_count(1)
    assert version(page) != before
    assert "," not in version(page)


def test_a_walk_round_that_the_server_is_not_told_of_yet_is_shown(device: Tablet) -> None:
    """Begun on the tablet while nothing got through: the server answers that nothing is at its address."""
    page = device.page
    page.route("**/tablet/entries/", lambda route: route.abort())
    begin_here(page, "Tomas Iveldt")
    page.get_by_role("button", name="Good").first.tap()
    page.reload()
    ready(page)
    expect(page.locator(".pair [aria-pressed=true]")).to_have_count(1)
    page.unroute("**/tablet/entries/")
    all_sent(page)
    missing = page.goto("/walk/01a22e0c-8317-7cb2-a77d-5a86dad351cc/")
    assert missing
    assert missing.status == 404
    expect(page.get_by_role("heading", level=1)).to_have_text("Not here")


def test_a_station_is_shown_when_the_network_is_too_slow(device: Tablet) -> None:
    """The server takes the request and says nothing: after two seconds and a half the tablet's own page comes."""
    page = device.page
    begin_here(page, "Tomas Iveldt")
    all_sent(page)
    address = page.url
    device.running.hang()
    page.goto(address)
    ready(page)
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    device.running.go_on()
