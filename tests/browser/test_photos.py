"""Photos on the tablet: small, upright and placeless before they are kept; taken with the pickup photo over them."""

import base64
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from hashlib import sha256
from io import BytesIO
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Page, Playwright, expect

from tests.browser import steps
from tests.browser.chromium import LANDSCAPE, LAUNCH, PORTRAIT, tablet
from tests.browser.seeing import barriers, small_targets, small_texts
from tests.browser.serving import Server, a_pair_with_regions
from tests.browser.yard import ready
from tests.photos.pictures import exif, quarters, saved

FAKE_CAMERA = ("--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream")
SHUTTER = "Same view as at pickup"
PREPARED = """async ([text, type]) => {
  const { prepare } = await import("/static/js/camera.js");
  const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
  const made = await prepare(new File([bytes], "IMG_1.jpg", { type, lastModified: Date.UTC(2026, 6, 1) }));
  const sent = new Uint8Array(await made.blob.arrayBuffer());
  return { ...made, blob: btoa(Array.from(sent, (byte) => String.fromCharCode(byte)).join("")) };
}"""


def prepared(page: Page, data: bytes, kind: str = "image/jpeg") -> dict[str, Any]:
    made: dict[str, Any] = page.evaluate(PREPARED, [base64.b64encode(data).decode(), kind])
    return made | {"sent": base64.b64decode(made["blob"])}


@pytest.fixture
def station(as_person: Callable[[str], Page], under_way: dict[str, str]) -> Page:
    """With its scripts under way: before that a photo goes as the plain form would send it."""
    page = as_person("isla")
    page.goto(under_way["pickup"])
    ready(page)
    return page


def test_a_photo_is_made_small_upright_and_placeless(station: Page) -> None:
    made = prepared(station, saved(quarters(4000, 3000), "JPEG", exif=exif(orientation=6)))
    picture = Image.open(BytesIO(made["sent"]))
    assert picture.size == (made["width"], made["height"]) == (1920, 2560)
    assert not picture.getexif()
    assert made["sha256"] == sha256(made["sent"]).hexdigest()
    assert datetime.fromisoformat(made["taken_at"]) == datetime(2026, 7, 4, 8, 15, tzinfo=UTC)


def test_a_small_photo_loses_its_place_too(station: Page) -> None:
    made = prepared(station, saved(quarters(640, 480), "JPEG", exif=exif()))
    assert Image.open(BytesIO(made["sent"])).size == (640, 480)
    assert b"Maker" not in made["sent"]


@pytest.mark.parametrize(("data", "kind"), [(saved(quarters(), "HEIF"), "image/heic"), (b"no picture", "image/jpeg")])
def test_what_the_browser_cannot_show_goes_as_it_is(station: Page, data: bytes, kind: str) -> None:
    made = prepared(station, data, kind)
    assert (made["sent"], made["sha256"]) == (data, sha256(data).hexdigest())
    assert made["taken_at"].startswith("2026-07-01T00:00:00")


def test_a_frame_is_filled_with_one_press(station: Page, server: Server) -> None:
    steps.photograph(station)
    expect(station.locator("#n-photos")).to_have_text("3 of 3")
    last = "select taken_at is not null and skew_ms is not null from handover_photo order by at desc, id desc limit 1"
    assert _asked(server, last) == 1


@contextmanager
def camera(playwright: Playwright, server: Server, *switches: str) -> Iterator[Page]:
    """A tablet with a camera that pages may use, or without one; the return's side door is before it."""
    browser = playwright.chromium.launch(**LAUNCH | {"args": [*LAUNCH["args"], *switches]})
    page = browser.new_context(base_url=server.address, **tablet(LANDSCAPE)).new_page()
    steps.sign_in(page, "callum")
    yield page
    browser.close()


def _press_the_frame(page: Page) -> None:
    ready(page)
    page.locator(".frame:not(.taken) input[data-ghost]").first.focus()
    page.keyboard.press("Enter")


def test_the_pickup_photo_lies_over_the_live_picture(
    playwright: Playwright, server: Server, under_way: dict[str, str]
) -> None:
    with camera(playwright, server, *FAKE_CAMERA) as page:
        page.goto(under_way["return"].replace("/station/1/", "/station/8/"))
        _press_the_frame(page)
        shutter = page.get_by_role("button", name=SHUTTER)
        expect(shutter).to_be_focused()
        ghost = page.get_by_role("img", name="The photo from pickup")
        assert ghost.evaluate("(image) => [image.naturalWidth > 320, image.style.opacity]") == [True, "0.4"]
        assert not barriers(page) + small_targets(page) + small_texts(page)
        page.get_by_role("slider").press("ArrowRight")
        assert ghost.evaluate("(image) => image.style.opacity") == "0.5"
        with steps.kept(page):
            shutter.press("Enter")
        expect(page.locator("#n-photos")).to_have_text("1 of 3")


def test_escape_leaves_the_frame_empty_and_the_focus_on_it(
    playwright: Playwright, server: Server, under_way: dict[str, str]
) -> None:
    with camera(playwright, server, *FAKE_CAMERA) as page:
        page.goto(under_way["return"])
        _press_the_frame(page)
        expect(page.get_by_role("button", name=SHUTTER)).to_be_focused()
        page.keyboard.press("Escape")
        expect(page.locator("dialog")).to_have_count(0)
        assert page.evaluate("document.activeElement.name") == "photo"
        assert page.locator("form[data-dirty]").count() == 0


def test_without_a_camera_the_tablets_own_takes_it(
    playwright: Playwright, server: Server, under_way: dict[str, str]
) -> None:
    with camera(playwright, server) as page:
        page.goto(under_way["return"].replace("/station/1/", "/station/5/"))
        _press_the_frame(page)
        expect(page.get_by_text("No camera can be shown in the page here.")).to_be_visible()
        with page.expect_file_chooser() as chooser, steps.kept(page):
            page.get_by_role("button", name="own camera").press("Enter")
            chooser.value.set_files({"name": "p.jpg", "mimeType": "image/jpeg", "buffer": steps.jpeg()})
        expect(page.locator("#n-photos")).to_have_text("1 of 3")
        with page.expect_file_chooser():
            _press_the_frame(page)


@pytest.mark.parametrize("glass", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
def test_both_photos_of_a_view(page: Page, as_person: Callable[[str], Page], server: Server) -> None:
    as_person("ruth")
    page.goto(f"/photo-pair/{a_pair_with_regions(server)}/")
    slider = page.get_by_role("slider")
    assert page.locator("#later").evaluate("(image) => image.style.clipPath") == "inset(0px 0px 0px 50%)"
    slider.press("Home")
    assert page.locator("#later").evaluate("(image) => image.style.clipPath") == "inset(0px 0px 0px 0%)"
    found = barriers(page) + small_targets(page) + small_texts(page)
    assert not found, "\n".join(found)


def _asked(server: Server, question: str) -> Any:
    return server.rows(question)[0][0]
