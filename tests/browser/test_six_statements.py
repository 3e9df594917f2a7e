"""At the counter any amount leads in two taps to the photo or the reading it stands on: six statements of six kinds."""

import json
import os
import subprocess
import sys
from collections.abc import Callable

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.serving import ROOT, Server, environment

Open = Callable[[str], Page]


@pytest.fixture(scope="module")
def six(server: Server) -> dict[str, str]:
    """The rentals by their kind; played beside the server, before anybody looks."""
    played = subprocess.run(
        [sys.executable, "-m", "tests.browser.six"], cwd=ROOT, capture_output=True, text=True, check=False,
        env=environment(server.var) | {"DJANGO_SETTINGS_MODULE": "shared.settings", "PATH": os.environ["PATH"]},
    )  # fmt: skip
    assert played.returncode == 0, played.stderr
    found: dict[str, str] = json.loads(played.stdout.splitlines()[-1])
    return found


@pytest.fixture
def statement(six: dict[str, str], as_person: Callable[[str], Page]) -> Open:
    """Callum opens the statement of one of the six."""
    page = as_person("callum")

    def open_it(kind: str) -> Page:
        page.goto(f"/rental/{six[kind]}/statement/")
        return page

    return open_it


def line(page: Page, title: str) -> Locator:
    return page.locator("li.ln").filter(has=page.locator("summary", has_text=title)).first


def due(page: Page, title: str) -> str:
    return (line(page, title).locator("summary .du").text_content() or "").strip()


def total(page: Page) -> str:
    return (page.locator("table.big tr.tot .fig").first.text_content() or "").strip()


def two_taps_to_the_photo(page: Page, title: str) -> None:
    """The first unfolds the amount; the second shows the photo that the figure stands on."""
    row = line(page, title)
    if row.locator("details").get_attribute("open") is None:
        row.locator("summary").tap()
    expect(row.locator("table.sum")).to_be_visible()
    row.get_by_role("link", name="Photo 1").tap()
    shown = page.locator("img.whole-photo")
    expect(shown).to_be_visible()
    assert page.request.get(shown.get_attribute("src") or "").headers["content-type"] == "image/jpeg"


def test_all_covered(statement: Open) -> None:
    """42 L short less 3 is 39 L; gas 2.7 kg less 0.2 is 2.5: both prepaid in full."""
    page = statement("all_covered")
    assert (due(page, "Diesel"), due(page, "Gas, front cylinder"), total(page)) == ("£0.00", "£0.00", "£0.00")
    two_taps_to_the_photo(page, "Diesel")


def test_partly_covered(statement: Open) -> None:
    page = statement("partly_covered")
    assert (due(page, "Diesel"), total(page)) == ("£18.63", "£18.63")
    two_taps_to_the_photo(page, "Diesel")


def test_two_events_against_one(statement: Open, six: dict[str, str]) -> None:
    """Two doors at £140.00 each above an excess of £100.00: two events cost 200.00, one would cost 100.00."""
    page = statement("two_events")
    assert total(page) == "£200.00"
    two_taps_to_the_photo(page, "kerb side")
    page.goto(f"/rental/{six['two_events']}/damages/")
    expect(page.get_by_text("£100.00").first).to_be_visible()


def test_unit_swap_carries_the_litres(statement: Open) -> None:
    """Received 82 + 82, given back 41 + 60: 63 L less four half-widths of 1.5 is 57 L at £1.62."""
    page = statement("unit_swap")
    assert due(page, "Diesel") == "£92.34"
    two_taps_to_the_photo(page, "Diesel")


def test_clock_change_night_by_the_lower_clock(statement: Open) -> None:
    """18:00 to 09:30 is 16 h 30 elapsed, 15 h 30 by the wall; less 30 min grace: capped at £120."""
    page = statement("clock_change")
    assert due(page, "Late return") == "£120.00"
    line(page, "Late return").locator("summary").tap()
    expect(line(page, "Late return")).to_contain_text("930")


def test_reopened_with_refund(statement: Open) -> None:
    """Version 1: 22 L less 3 is 19 L, £30.78. Corrected to 61 L left with, the gauge can't tell, all goes back."""
    page = statement("reopened")
    assert total(page) == "£0.00"
    expect(page.get_by_text("£30.78").first).to_be_visible()
