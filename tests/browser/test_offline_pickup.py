"""A whole pickup, and a return beside it, without a signal: from the day that was put by to the keys, then sent."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser import steps
from tests.browser.yard import OFFLINE, Tablet, all_sent, begin_here, ready, rows_of, says, stored

CUSTOMER = "Tomas Iveldt"
# Unit 118 has no return before, so nothing is to be repeated, and no known mark.
KINDS = {"begin", "check", "reading", "count", "seal", "topic", "mark", "photo", "remark", "hand-over"}
STATE = (
    "select r.state from handover_rental r join handover_customer c on c.id = r.customer_id "
    "where c.name = 'Tomas Iveldt' order by r.number desc limit 1"
)
REMARK = "select text from handover_remark order by at desc limit 1"


@pytest.mark.timeout(300)
def test_a_pickup_without_a_signal(device: Tablet) -> None:
    page = device.page
    device.signal(False)
    begin_here(page, CUSTOMER)
    for number in range(1, 13):
        steps.at_station(page, number)
        _answer(page, number)
        steps.go_on(page)
    _say_and_sign(page, device)
    page = _opened_again(device)
    assert {row["kind"] for row in stored(page, "outbox")} == KINDS
    device.signal(True)
    page.wait_for_url("**/rental/**", timeout=120_000)
    _is_all_there(device)


@pytest.mark.timeout(600)
def test_what_was_signed_stands_while_the_rest_arrives(device: Tablet) -> None:
    """The customer signs what the tablet shows, the signal comes back, then the host signs the same."""
    page = device.page
    begin_here(page, CUSTOMER)
    device.signal(False)
    for number in range(1, 13):
        _answer(page, number)
        steps.go_on(page)
    steps.sign(page, CUSTOMER)
    look = page.locator("#look").inner_text()
    device.signal(True)
    all_sent(page)
    assert page.locator("#look").inner_text() == look
    steps.sign(page, "Isla Macrae")
    page.get_by_role("button", name="Hand over the keys").tap()
    page.wait_for_url("**/rental/**", timeout=120_000)
    assert rows_of(device.running, STATE) == [("out",)]
    told = dict(rows_of(device.running, "select outcome, count(*) from handover_receipt group by outcome"))
    assert set(told) == {"ok"}


def _answer(page: Page, number: int) -> None:
    if number == 3:
        steps.photo(page, "Diesel")
        steps.drag_stick(page, "Diesel", 0.25)
    if number == 8:
        steps.aim(page, 0.26, 0.5)
        steps.pin_mark(page, "door, low", "40")
    steps.rest_as_before(page)
    steps.answer_well(page)
    steps.count_all(page)
    steps.hear_topics(page)


def _say_and_sign(page: Page, device: Tablet) -> None:
    """A remark, one signature, a reload in between, the other signature, the keys."""
    page.get_by_text("Write what the customer says").tap()
    page.get_by_label("In their own words").fill("The step creaks.")
    with steps.kept(page):
        page.get_by_role("button", name="Keep what was said").tap()
    expect(page.get_by_text("The step creaks.")).to_be_visible()
    steps.sign(page, CUSTOMER)
    page.get_by_role("button", name="Hand over the keys").tap()
    expect(page.get_by_text("Isla Macrae: not signed yet.")).to_be_visible()
    page.reload()
    ready(page)
    steps.sign(page, "Isla Macrae")
    with steps.kept(page):
        page.get_by_role("button", name="Hand over the keys").tap()
    expect(page.get_by_text("Signed here.")).to_be_visible()


def _opened_again(device: Tablet) -> Page:
    address = device.page.url
    device.close()
    page = device.open(offline=True)
    page.goto(address)
    ready(page)
    expect(page.get_by_text("Signed here.")).to_be_visible()
    says(page, OFFLINE)
    return page


def _is_all_there(device: Tablet) -> None:
    told = dict(rows_of(device.running, "select outcome, count(*) from handover_receipt group by outcome"))
    assert set(told) == {"ok"}
    assert rows_of(device.running, STATE) == [("out",)]
    assert rows_of(device.running, "select count(*) from handover_mark where place = 'door, low'") == [(1,)]
    assert rows_of(device.running, REMARK) == [("The step creaks.",)]


@pytest.mark.timeout(300)
def test_a_return_beside_a_pickup_without_a_signal(device: Tablet) -> None:
    """Two vehicles in the bay: each is one tap from the other, and what one has is not the other's."""
    page = device.page
    device.signal(False)
    begin_here(page, "Akiko Brandt", walk="return")
    steps.answer_well(page)
    answered = page.get_by_role("button", pressed=True).count()
    begin_here(page, CUSTOMER)
    page.get_by_role("link", name=re.compile("^Unit 305, station")).tap()
    ready(page)
    expect(page.locator("#mast .flag.back")).to_be_visible()
    steps.go_to_station(page, 1)
    expect(page.get_by_role("button", pressed=True)).to_have_count(answered)
    page.get_by_role("link", name=re.compile("^Unit 118, station")).tap()
    expect(page.locator("#mast .flag.out")).to_be_visible()
    device.signal(True)
    all_sent(page)
    begun = rows_of(device.running, "select kind from handover_walkround where finished_at is null order by kind")
    assert begun == [("pickup",), ("return",)]
