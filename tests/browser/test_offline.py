"""Nothing is lost: without a signal, when the tab, the browser or the server goes, and whoever signs in afterwards."""

import os
import re
from io import BytesIO

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from tests.browser import steps
from tests.browser.yard import OFFLINE, Tablet, all_sent, ready, rows_of, says, stored

CUSTOMER = "Tomas Iveldt"
# A key that was pressed this long ago is on disk; one that the power fails under is not.
ON_DISK_MS = 250
ANSWERS = (
    "select word, count(*) from handover_checkanswer a join handover_walkround w on w.id = a.walk_id "
    "where w.finished_at is null group by word"
)


@pytest.fixture
def page(device: Tablet) -> Page:
    """Tomas Iveldt's pickup has begun with a signal; the tablet stands at its first station."""
    steps.begin_pickup(device.page, CUSTOMER)
    ready(device.page)
    device.page.wait_for_selector("html[data-put-by]", state="attached")
    return device.page


def go_and_answer(page: Page, number: int) -> None:
    steps.go_to_station(page, number)
    steps.answer_well(page)


def pressed(page: Page) -> int:
    """Answers to Checks; the language of the briefing is a pressed button too."""
    return page.locator("[data-asked=check] .pair [aria-pressed=true]").count()


def test_answers_stay_through_reload_and_reopening(page: Page, device: Tablet) -> None:
    steps.answer_well(page)
    sent = pressed(page)
    device.signal(False)
    go_and_answer(page, 2)
    unsent = pressed(page)
    page.reload()
    ready(page)
    assert pressed(page) == unsent > 0
    device.close()
    page = device.open(offline=True)
    page.goto(f"/walk/{stored_walk(device)}/station/1/")
    ready(page)
    assert pressed(page) == sent > 0
    says(page, OFFLINE)
    device.signal(True)
    all_sent(page)


def stored_walk(device: Tablet) -> str:
    device.page.goto("/")
    ready(device.page)
    begun = [row for row in stored(device.page, "walks") if row["begun"]]
    return str(begun[0]["walk"])


def test_the_browser_is_killed_while_someone_types(page: Page, device: Tablet) -> None:
    device.signal(False)
    steps.go_to_station(page, 6)
    address = page.url
    page.get_by_role("button", name="Bad").first.tap()
    page.get_by_text("Say what is wrong").first.tap()
    page.get_by_label("what is wrong").first.press_sequentially("hose is brittle at the nut", delay=15)
    page.wait_for_timeout(ON_DISK_MS)
    device.kill()
    page = device.open(offline=True)
    page.goto(address)
    ready(page)
    expect(page.get_by_label("what is wrong").first).to_have_value("hose is brittle at the nut")
    expect(page.get_by_role("button", name="Bad", pressed=True)).to_have_count(1)


def test_a_stepper_left_in_mid_press_counts(page: Page, device: Tablet) -> None:
    steps.go_to_station(page, 10)
    device.signal(False)
    page.get_by_role("button", name="1 % more").tap()
    shown = page.get_by_role("textbox", name="House battery, %").input_value()
    address = page.url
    page.wait_for_timeout(ON_DISK_MS)
    device.kill()
    page = device.open(offline=True)
    page.goto(address)
    ready(page)
    expect(page.get_by_role("textbox", name="House battery, %")).to_have_value(shown)
    assert [row["fields"]["typed"] for row in stored(page, "outbox") if row["kind"] == "reading"] == [shown]


def test_what_a_reading_means_comes_back_and_stays(page: Page, device: Tablet) -> None:
    """Its row alone comes, and stands over the station that is kept, also after a reload without a signal."""
    steps.go_to_station(page, 10)
    steps.read(page, "House battery, %", "92")
    all_sent(page)
    row = page.locator("[id^=reading-]").filter(has=page.get_by_role("textbox", name="House battery, %"))
    means = row.get_by_text(re.compile(r"^display, steps of .*; Isla M\."))
    expect(means).to_be_visible()
    assert [one["kind"] for one in stored(page, "mirror") if one["html"]] == ["reading"]
    device.signal(False)
    page.reload()
    ready(page)
    expect(means).to_be_visible()
    expect(page.get_by_role("textbox", name="House battery, %")).to_have_value("92")


def test_what_is_agreed_to_bears_no_mark(page: Page, device: Tablet) -> None:
    marked = page.locator("main [data-part][data-unsent]")
    device.signal(False)
    go_and_answer(page, 2)
    expect(marked).not_to_have_count(0)
    device.signal(True)
    all_sent(page)
    expect(marked).to_have_count(0)


def test_what_waits_is_sent_once(page: Page, device: Tablet, yard_server: object) -> None:
    device.signal(False)
    go_and_answer(page, 2)
    waiting = len(stored(page, "outbox"))
    device.signal(True)
    all_sent(page)
    assert waiting > 0
    assert not stored(page, "outbox")
    assert rows_of(device.running, ANSWERS) == [("good", waiting)]


LOSE_THE_PHOTOS = """() => new Promise((done) => {
  indexedDB.open("levelpeg").onsuccess = ({ target }) => {
    const transaction = target.result.transaction("photos", "readwrite");
    transaction.objectStore("photos").clear();
    transaction.oncomplete = () => done();
  };
})"""


def test_a_photo_whose_bytes_the_browser_threw_away_is_asked_for_again(page: Page, device: Tablet) -> None:
    """Nothing waits for it for ever, and the rest goes out."""
    device.signal(False)
    with steps.kept_here(page):
        keep_photo(page, steps.jpeg())
    page.evaluate(LOSE_THE_PHOTOS)
    device.signal(True)
    says(page, "1 refused: see why")
    expect(page.get_by_text("The photo is not on the tablet any more. Take it once more.").first).to_be_visible()


def test_two_tabs_send_once_and_show_the_same(page: Page, device: Tablet) -> None:
    assert device.context
    other = device.context.new_page()
    other.goto(page.url)
    ready(other)
    with steps.kept_here(page):
        page.get_by_role("button", name="Good").first.tap()
    answers = other.locator("[data-asked=check] .pair [aria-pressed=true]")
    expect(answers).to_have_count(1)
    all_sent(other)
    all_sent(page)
    assert rows_of(device.running, ANSWERS) == [("good", 1)]


def test_the_session_is_gone(page: Page, device: Tablet) -> None:
    assert device.context
    device.context.clear_cookies(name="sessionid")
    page.get_by_role("button", name="Good").first.tap()
    says(page, "Sign in to send the 1 kept here")
    door = page.locator("#sign-in-here")
    door.get_by_label("Name").fill("callum")
    door.get_by_label("Password").fill(steps.PASSWORD)
    door.get_by_role("button", name="Sign in and send").tap()
    all_sent(page)
    told = (
        "select p.username from handover_checkanswer a join shared_person p on p.id = a.by_id "
        "join handover_walkround w on w.id = a.walk_id where w.finished_at is null"
    )
    assert rows_of(device.running, told) == [("isla",)]


def test_the_csrf_cookie_is_gone(page: Page, device: Tablet) -> None:
    assert device.context
    device.context.clear_cookies(name="csrftoken")
    with steps.kept_here(page):
        page.get_by_role("button", name="Good").first.tap()
    all_sent(page)
    assert rows_of(device.running, ANSWERS) == [("good", 1)]


def test_a_foreign_page_is_no_answer(page: Page, device: Tablet) -> None:
    """A guest network answers everything with its own page, and says 200."""
    assert device.context
    device.context.route("**/tablet/entries/", lambda route: route.fulfill(status=200, body="<h1>Welcome</h1>"))
    page.get_by_role("button", name="Good").first.tap()
    says(page, OFFLINE)
    assert len(stored(page, "outbox")) == 1
    device.context.unroute("**/tablet/entries/")
    all_sent(page)


def large_photo() -> bytes:
    """Noise does not shrink: more than a dozen pieces on the way."""
    out = BytesIO()
    Image.frombytes("RGB", (1600, 1200), os.urandom(1600 * 1200 * 3)).save(out, "JPEG", quality=90)
    return out.getvalue()


def test_the_server_is_killed_in_the_middle_of_a_photo(page: Page, device: Tablet) -> None:
    with page.expect_request(lambda request: "offset=524288" in request.url):
        keep_photo(page, large_photo())
    device.running.kill()
    says(page, OFFLINE)
    [photo] = stored(page, "photos")
    device.running.start()
    all_sent(page)
    assert rows_of(device.running, "select sent_sha256 from handover_photo order by at desc limit 1") == [
        (photo["sha256"],)
    ]


def keep_photo(page: Page, taken: bytes) -> None:
    page.locator("summary").get_by_text("Photo", exact=True).tap()
    steps.take(page.locator("#photo-file"), taken)
    page.get_by_role("button", name="Keep the photo").tap()


def test_a_photo_that_does_not_fit_is_said(page: Page, device: Tablet) -> None:
    page.evaluate("() => { navigator.storage.estimate = async () => ({ quota: 1000, usage: 1000 }); }")
    keep_photo(page, steps.jpeg())
    expect(page.get_by_text("This tablet is full: the last photo is not kept.")).to_be_visible()
    assert not stored(page, "outbox")
    assert device.running.server


def test_a_server_from_a_backup_hears_it_again(page: Page, device: Tablet) -> None:
    running, database = device.running, device.running.server.var / "levelpeg.sqlite3"
    steps.answer_well(page)
    given = pressed(page)
    running.stop()
    copy = {path: path.read_bytes() for path in database.parent.glob("levelpeg.sqlite3*")}
    running.start()
    steps.go_to_station(page, 2)
    steps.answer_well(page)
    more = pressed(page)
    running.kill()
    for path in database.parent.glob("levelpeg.sqlite3*"):
        path.unlink()
    for path, data in copy.items():
        path.write_bytes(data)
    running.start()
    assert rows_of(running, ANSWERS) == [("good", given)]
    page.reload()
    page.wait_for_selector("html[data-put-by]", state="attached")
    all_sent(page)
    assert rows_of(running, ANSWERS) == [("good", given + more)]
