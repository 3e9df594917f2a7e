"""One rental from the day board to both sealed records, by two people with one tablet, in touch and in order."""

import re
from decimal import Decimal
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser import steps
from tests.browser.seeing import barriers
from tests.browser.serving import Server

CUSTOMER = "Tomas Iveldt"
# What the instruments show, by station. At the pickup diesel is dragged and AUS 32 stepped instead.
OUT = {
    2: {"Tread, front, mm": "6.8"},
    4: {"Fresh water, %": "100", "Tread, rear, mm": "6.2"},
    6: {"Front cylinder, kg": "11.7", "Rear cylinder, kg": "11.8"},
    7: {"Waste water, %": "0", "Cassette, %": "0", "Tread, rear, mm": "6.1"},
    8: {"Tread, front, mm": "6.9"},
    10: {"House battery, %": "96"},
    12: {"Odometer, mi": "57100"},
}
BACK = OUT | {
    3: {"Diesel, L": "40", "AUS 32, L": "15"},
    6: {"Front cylinder, kg": "9.1", "Rear cylinder, kg": "11.8"},
    12: {"Odometer, mi": "57350"},
}
# In the demo a Record is rendered and sealed before the page answers.
RENDERED = 60_000


class Barriers:
    """Collects what axe finds at each state, so that one run names all of it."""

    def __init__(self, page: Page) -> None:
        self.page, self.found = page, list[str]()

    def look(self, state: str) -> None:
        self.page.wait_for_load_state()
        self.found += [f"{state}: {line}" for line in barriers(self.page)]


@pytest.mark.timeout(600)
def test_the_whole_job(page: Page, server: Server, tmp_path: Path) -> None:
    seen = Barriers(page)
    steps.sign_in(page, "isla")
    seen.look("day board")
    _pick_up(page, seen)
    _hand_over(page, seen)
    page.get_by_role("link", name="Open the pickup Record").tap()
    _check_the_record(page, seen, "pickup")
    steps.sign_out(page)
    steps.sign_in(page, "callum")
    _take_back(page, seen)
    _settle(page, seen)
    _check_the_record(page, seen, "return")
    _verify(page, server, tmp_path)
    _board_says(page, seen)
    assert not seen.found, "\n".join(seen.found)


def _pick_up(page: Page, seen: Barriers) -> None:
    steps.open_rental(page, CUSTOMER)
    seen.look("rental, booked")
    steps.begin_pickup(page, CUSTOMER)
    for number in range(1, 13):
        steps.at_station(page, number)
        seen.look(f"pickup station {number}, open")
        _answer_at_pickup(page, number)
        steps.photograph(page)
        steps.nothing_open(page)
        seen.look(f"pickup station {number}, answered")
        steps.go_on(page)


def _answer_at_pickup(page: Page, number: int) -> None:
    _read(page, OUT.get(number, {}))
    if number == 3:
        steps.drag_stick(page, "Diesel", 0.25)
        steps.step_up(page, "AUS 32, L", presses=15)
        steps.photo(page, "Diesel")
    if number == 8:
        _pin_a_mark(page)
    steps.rest_as_before(page)
    steps.answer_well(page)
    steps.count_all(page)
    steps.hear_topics(page)


def _read(page: Page, shown: dict[str, str]) -> None:
    for instrument, typed in shown.items():
        steps.read(page, instrument, typed)


def _pin_a_mark(page: Page) -> None:
    steps.aim(page, 0.26, 0.5)
    expect(page.get_by_text("m from the nose, kerb side")).to_be_visible()
    steps.pin_mark(page, "door, low", "40")
    expect(page.get_by_text("door, low", exact=False).first).to_be_visible()


def _hand_over(page: Page, seen: Barriers) -> None:
    expect(page.get_by_text("Every station has its answers.")).to_be_visible()
    seen.look("pickup, look-through")
    steps.sign(page, CUSTOMER)
    steps.sign(page, "Isla Macrae")
    seen.look("pickup, signed")
    page.get_by_role("button", name="Hand over the keys").tap()
    expect(page.get_by_text("Pickup: ready")).to_be_visible(timeout=RENDERED)
    seen.look("rental, out")


def _check_the_record(page: Page, seen: Barriers, kind: str) -> None:
    expect(page.get_by_role("heading", level=1, name=kind)).to_be_visible(timeout=RENDERED)
    page.get_by_role("link", name="Check now").tap()
    expect(page.get_by_text("Valid.", exact=True)).to_be_visible()
    seen.look(f"{kind} record")


def _take_back(page: Page, seen: Barriers) -> None:
    steps.open_rental(page, CUSTOMER)
    seen.look("rental, before the return")
    steps.begin_return(page, CUSTOMER)
    for number in range(1, 13):
        steps.at_station(page, number)
        seen.look(f"return station {number}, open")
        _answer_at_return(page, number)
        steps.photograph(page)
        steps.nothing_open(page)
        seen.look(f"return station {number}, answered")
        steps.go_on(page)


def _answer_at_return(page: Page, number: int) -> None:
    _read(page, BACK.get(number, {}))
    if number == 3:
        steps.photo(page, "Diesel")
        expect(page.get_by_text(re.compile("^Due £"))).to_be_visible()
    if number == 11:
        steps.answer(page, "First aid kit", "Broken")
    steps.rest_as_before(page)
    steps.answer_well(page)
    steps.count_all(page)


def _settle(page: Page, seen: Barriers) -> None:
    expect(page.get_by_role("heading", name="Look through")).to_be_visible()
    seen.look("return, look-through")
    page.get_by_role("button", name="To the statement").tap()
    expect(page.get_by_text("Not priced yet.")).to_be_visible()
    seen.look("statement, not priced")
    page.get_by_role("button", name="Price it").tap()
    _lines_make_the_sum(page, seen)
    _down_to_the_photo(page)
    for name, then in ((CUSTOMER, "Then the host signs"), ("Callum Reid", "Make the Record")):
        steps.sign(page, name)
        seen.look(f"statement, signed by {name}")
        page.get_by_role("button", name=re.compile(f"^{then} Sign £")).tap()


def _lines_make_the_sum(page: Page, seen: Barriers) -> None:
    lines = page.get_by_role("region", name="What is owed, and why").locator("ol > li")
    expect(lines).to_have_count(3)
    for line in lines.all():
        steps.unfold(line)
    seen.look("statement, unfolded")
    sums = page.get_by_role("table", name=re.compile("^Workings of line")).all()
    due = [_amount(rows.get_by_role("row").last.inner_text()) for rows in sums]
    total = page.get_by_role("table", name="Total").get_by_role("row", name=re.compile("^Due"))
    assert sum(due) == _amount(total.inner_text()) > 0


def _amount(text: str) -> Decimal:
    return Decimal(re.findall(r"[\d\u202f]+\.\d\d", text)[0].replace("\u202f", ""))


def _down_to_the_photo(page: Page) -> None:
    """From the amount to the two readings it is made of, and on to what the camera saw."""
    workings = page.get_by_role("table", name="Workings of line 1, Diesel")
    expect(workings.get_by_role("row", name=re.compile(r"40\.0 L came back with"))).to_be_visible()
    expect(page.get_by_text("Gauge: Isla Macrae, then Callum Reid")).to_be_visible()
    page.get_by_role("link", name="Photo 1").first.tap()
    shown = page.locator("img.whole-photo")
    expect(shown).to_be_visible()
    got = page.request.get(str(shown.get_attribute("src")))
    page.go_back()
    assert got.headers["content-type"] == "image/jpeg"
    assert got.body().startswith(b"\xff\xd8")


def _verify(page: Page, server: Server, folder: Path) -> None:
    with page.expect_download() as started:
        page.get_by_role("link", name="Keep a copy").tap()
    copy = folder / started.value.suggested_filename
    started.value.save_as(copy)
    verdict = server.manage("verify_record", str(copy))
    assert verdict.returncode == 0, verdict.stderr
    assert verdict.stdout.rstrip().endswith("Valid.")


def _board_says(page: Page, seen: Barriers) -> None:
    """It came back days before it was due: the board of the day it was due on says so."""
    steps.open_rental(page, CUSTOMER)
    seen.look("rental, settled")
    page.get_by_role("link", name="Workings of version 1").tap()
    expect(page.get_by_role("img", name=f"Signature of {CUSTOMER}")).to_be_visible()
    seen.look("statement, settled")
    page.go_back()
    page.get_by_role("link", name="Day board", exact=True).tap()
    peg = page.get_by_role("list", name="Returns").get_by_role("link", name=CUSTOMER)
    expect(peg).to_contain_text("statement signed £")
    seen.look("day board, settled")
