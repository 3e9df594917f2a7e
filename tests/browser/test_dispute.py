"""A dispute from the customer's phone to the decision, the next statement, the letter and the bundle."""

import json
import re
import zipfile
from hashlib import sha256
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from tqdm import tqdm

from tests.browser import steps
from tests.browser.chromium import LANDSCAPE
from tests.browser.test_taps import COUNTING

CUSTOMER = "Maren Oduya"
MOST_TAPS = 12
MADE_MS = 90_000
WORDS = "It was as full as I got it."
WHY = "The receipt you sent shows a full tank."


@pytest.mark.timeout(600)
def test_from_the_customers_phone_to_the_bundle(page: Page, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    title = _object(page)
    page.set_viewport_size({"width": LANDSCAPE[0], "height": LANDSCAPE[1]})
    page.context.add_init_script(COUNTING)
    steps.sign_in(page, "ruth")
    page.evaluate("() => sessionStorage.setItem('taps', 0)")
    _decide(page, title)
    _letter(page, tmp_path)
    _bundle(page, tmp_path)
    taps = int(page.evaluate("() => Number(sessionStorage.getItem('taps'))"))
    with capsys.disabled():
        tqdm.write(f"\n{taps} taps from the day board to decision, statement, letter and bundle")
    assert 0 < taps < MOST_TAPS
    _corrected(page)


def _object(page: Page) -> str:
    """On the phone, by the link alone; gives the title of the line."""
    steps.sign_in(page, "isla")
    steps.open_rental(page, CUSTOMER)
    steps.to_the_customers_page(page)
    page.get_by_role("link", name="Every line, and why").tap()
    line = page.locator("li.ln").filter(has=page.get_by_role("link", name="I object to this line")).first
    title = line.locator("summary .wt b").inner_text()
    line.get_by_role("link", name="I object to this line").tap()
    page.get_by_label("In your own words").fill(WORDS)
    page.locator("#photo").set_input_files({"name": "receipt.jpg", "mimeType": "image/jpeg", "buffer": steps.jpeg()})
    page.get_by_role("button", name="Send the objection").tap()
    expect(page.get_by_text("You objected").first).to_be_visible()
    return title


def _decide(page: Page, title: str) -> None:
    page.get_by_role("link", name="Desk").tap()
    page.get_by_role("link", name="Disputes").tap()
    row = page.locator(".row").filter(has_text=CUSTOMER).filter(has_text=title)
    row.get_by_role("link", name="Look at it").tap()
    expect(page.get_by_text(WORDS).first).to_be_visible()
    page.get_by_role("radio", name="Waive").tap()
    words = page.get_by_label(f"Reason, sent to {CUSTOMER}")
    words.tap()
    words.fill(WHY)
    page.get_by_role("button", name="Decide and send").tap()
    expect(page.get_by_text("Waived.")).to_be_visible(timeout=MADE_MS)
    expect(page.get_by_text(WHY).first).to_be_visible()


def _letter(page: Page, folder: Path) -> None:
    kept = _taken_along(page, "Letter", folder / "letter.pdf")
    assert kept.startswith(b"%PDF-")


def _bundle(page: Page, folder: Path) -> None:
    """Every file in it is the one that its manifest names."""
    page.get_by_role("button", name="Bundle for the card issuer").tap()
    expect(page.get_by_role("link", name="Bundle", exact=True)).to_be_visible(timeout=MADE_MS)
    _taken_along(page, "Bundle", folder / "bundle.zip")
    with zipfile.ZipFile(folder / "bundle.zip") as bundle:
        manifest = json.loads(bundle.read("manifest.json"))
        digests = {row["name"]: row["sha256"] for row in manifest["files"]}
        for name, digest in digests.items():
            assert sha256(bundle.read(name)).hexdigest() == digest, name
        assert set(bundle.namelist()) - {"manifest.json", "SHA256SUMS"} == set(digests)


def _taken_along(page: Page, link: str, to: Path) -> bytes:
    """What a press on the link brings, whether it is shown or put away."""
    shown = page.get_by_role("link", name=link, exact=True).first
    address = str(shown.get_attribute("href"))
    answer = page.request.get(address)
    assert answer.ok
    to.write_bytes(answer.body())
    return answer.body()


def _corrected(page: Page) -> None:
    """The next version of the statement, with what the line came to."""
    link = page.get_by_role("link", name=re.compile(r"^Statement version \d+: "))
    version = re.search(r"\d+", link.inner_text())
    assert version
    assert int(version[0]) > 1
    link.tap()
    expect(page.get_by_text("waived", exact=False).first).to_be_visible()
