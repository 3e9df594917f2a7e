"""One hand, one walk: how often a pickup is touched for what it answers, and how many screens it takes."""

import pytest
from playwright.sync_api import Page
from tqdm import tqdm

from tests.browser import steps
from tests.browser.serving import Running
from tests.browser.test_whole_job import OUT
from tests.browser.yard import Tablet, all_sent, rows_of

MOST_A_ANSWER = 1.3
KINDS = ("checkanswer", "reading", "count", "sealcheck", "topicheard", "photo")
COUNTING = """addEventListener("pointerdown", (event) => {
  if (event.isTrusted) sessionStorage.setItem("taps", Number(sessionStorage.getItem("taps")) + 1);
}, true);"""
DIESEL = {3: {"Diesel, L": "82", "AUS 32, L": "15"}}


@pytest.mark.timeout(300)
def test_taps_and_screens_of_a_pickup(device: Tablet, capsys: pytest.CaptureFixture[str]) -> None:
    assert device.context
    device.context.add_init_script(COUNTING)
    page = device.page
    steps.open_rental(page, "Tomas Iveldt")
    page.evaluate("() => sessionStorage.setItem('taps', 0)")
    page.get_by_role("button", name="Begin pickup").tap()
    typed = sum(_station(page, number) for number in range(1, 13))
    taps = int(page.evaluate("() => Number(sessionStorage.getItem('taps'))")) + typed
    all_sent(page)
    given = {kind: _answers(device.running, kind) for kind in KINDS}
    answers = sum(given.values())
    with capsys.disabled():
        tqdm.write(f"\n{taps} taps for {answers} answers on 12 screens, {taps / answers:.2f} each: {given}")
    assert given["checkanswer"] >= 50
    assert given["reading"] >= 12
    assert given["photo"] >= 25
    assert taps <= MOST_A_ANSWER * answers


def _station(page: Page, number: int) -> int:
    """Answers everything on its one screen. What was typed or photographed is a touch each that no finger made here."""
    steps.at_station(page, number)
    address = page.url
    readings = (OUT | DIESEL).get(number, {})
    for instrument, shown in readings.items():
        steps.read(page, instrument, shown)
    steps.rest_as_before(page)
    steps.answer_well(page)
    steps.count_all(page)
    steps.hear_topics(page)
    photos = _photos(page)
    assert page.url == address
    steps.go_on(page)
    return len(readings) + photos


def _photos(page: Page) -> int:
    """Every empty frame: pressing it opens the camera, and what that takes is kept."""
    frames = page.locator("[data-frame]:not(.taken) input[data-take]")
    taken = 0
    while frames.count():
        with steps.kept(page):
            steps.take(frames.first)
        taken += 1
    return taken


def _answers(running: Running, kind: str) -> int:
    walks = "select id from handover_walkround where finished_at is null"
    [(count,)] = rows_of(running, f"select count(*) from handover_{kind} where walk_id in ({walks})")  # noqa: S608
    return int(count)
