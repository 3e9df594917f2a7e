"""What a person does with the tablet: each step finds its things by role and name, and waits until it has worked."""

import re
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from io import BytesIO
from urllib.parse import urlsplit

from PIL import Image
from playwright.sync_api import Error, Locator, Page, Response, expect

from tests.browser.chromium import PHONE

# As the demo prints it when it starts.
PASSWORD = "level-pegging-demo"
YARD = {
    "turnaround": "/branch/inverlark/turnaround/",
    "jobs": "/fleet/units/118/jobs/",
    "tanks": "/branch/inverlark/tanks/",
    "tank": "/fleet/units/212/tank/diesel/",
    "tyres": "/fleet/units/407/tyres/",
    "kept": "/tablet/held/",
}
DESK = {
    "day-seals": "/day-seals/",
    "insight": "/figures/",
    "insight-charges": "/figures/charges/",
    "insight-readings": "/figures/readings/",
    "audit": "/figures/audit/",
    "search": "/search/?q=LK-20418",
    "check": "/check/",
}
OF_RENTAL = ("trip", "settlement", "found", "damages")
OF_BRANCH = ("settlements", "rate-cards", "notice", "new-booking", "desk", "disputes", "retention", "paper")
OFFICE = ("line", "dispute", *OF_RENTAL, *OF_BRANCH, *YARD, *DESK)
REST_MS = 150


def sign_in(page: Page, username: str) -> None:
    page.goto("/sign-in/")
    page.get_by_label("Name").fill(username)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").tap()
    expect(page.get_by_role("list", name="Pickups").or_(page.get_by_text("No pickups on this day"))).to_be_visible()


def sign_out(page: Page) -> None:
    page.goto("/me/")
    page.get_by_role("button", name="Hand the tablet on").tap()
    expect(page.get_by_role("heading", name="Sign in")).to_be_visible()


def open_rental(page: Page, customer: str) -> None:
    """From the day board; who came back on the day before stands on that day's."""
    page.goto("/")
    page.wait_for_url("**/branch/**")
    if not page.get_by_role("link", name=customer).count():
        page.get_by_role("link", name=re.compile(r"^\w+day$")).tap()
    page.get_by_role("link", name=customer).tap()
    expect(page.get_by_role("heading", name=customer, level=1)).to_be_visible()


def open_cab_card(page: Page, customer: str) -> None:
    open_rental(page, customer)
    page.get_by_role("link", name="Open the card").tap()
    expect(page.get_by_role("heading", name="Where things are")).to_be_visible()


def to_the_customers_page(page: Page) -> None:
    """From a rental or its Cab card to the customer's own page: by its address alone, signed in nowhere."""
    page.get_by_role("link", name="Customer’s link").tap()
    expect(page.get_by_role("heading", name="The customer’s own page")).to_be_visible()
    shown = page.get_by_role("link", name="Open what they see")
    if not shown.count():
        page.get_by_role("button", name="Make a link").tap()
    address = shown.first.get_attribute("href")
    page.context.clear_cookies()
    page.set_viewport_size(PHONE)
    # The page speaks the customer's language until another is pressed.
    page.goto(f"{urlsplit(str(address)).path}?in=en-gb")
    expect(page.get_by_role("link", name="Cab card")).to_be_visible()


def on_the_phone(page: Page) -> None:
    """The open Cab card as the customer has it."""
    to_the_customers_page(page)
    page.get_by_role("link", name="Cab card").tap()
    expect(page.get_by_role("heading", name="Where things are")).to_be_visible()


def begin_pickup(page: Page, customer: str) -> None:
    open_rental(page, customer)
    page.get_by_role("button", name="Begin pickup").tap()
    at_station(page, 1)


def begin_return(page: Page, customer: str, *, who: str = "Customer present") -> None:
    open_rental(page, customer)
    page.get_by_role("radio", name=who).check()
    page.get_by_role("button", name="Begin return").tap()
    at_station(page, 1)


def begin_the_day(page: Page) -> dict[str, str]:
    """A pickup and a return are begun; Maren Oduya's rental is settled. Gives the addresses by what is there."""
    found = {}
    sign_in(page, "isla")
    found["day board"] = page.url
    begin_pickup(page, "Noor Halabi")
    found["pickup"] = page.url
    sign_out(page)
    sign_in(page, "callum")
    begin_return(page, "Esi Larbi")
    found["return"] = page.url
    open_rental(page, "Maren Oduya")
    found["rental"] = page.url
    found["record"] = _address(page.get_by_role("link", name="Open the return Record"))
    found["pickup station"] = found["pickup"].replace("/station/1/", "/station/6/")
    found["return station"] = found["return"].replace("/station/1/", "/station/3/")
    found["look-through"] = found["pickup"].replace("/station/1/", "/sign/")
    found["statement"] = f"{found['rental']}statement/"
    return found | _offices(page, found["rental"])


def _offices(page: Page, rental: str) -> dict[str, str]:
    """What a manager reads at a desk, about this rental and its branch."""
    page.goto(f"{rental}statement/")
    line = _address(page.get_by_role("link", name="What was said and decided").first)
    page.goto("/branch/inverlark/disputes/")
    dispute = _address(page.get_by_role("link", name="Look at it").first)
    of_rental = {name: f"{rental}{name}/" for name in OF_RENTAL}
    of_branch = {name: f"/branch/inverlark/{name}/" for name in OF_BRANCH}
    return {"line": line, "dispute": dispute} | of_rental | of_branch | YARD | DESK


def _address(link: Locator) -> str:
    href = link.get_attribute("href")
    assert href
    return href


def at_station(page: Page, number: int) -> None:
    page.wait_for_url(f"**/station/{number}/")
    expect(page.get_by_role("link", name=re.compile(rf"^Station {number}, .*you are here"))).to_be_visible()


def go_to_station(page: Page, number: int) -> None:
    """By its peg on the plan."""
    page.get_by_role("link", name=re.compile(rf"^Station {number}, ")).tap()
    at_station(page, number)


def go_on(page: Page) -> None:
    """The one way on of this screen."""
    before = page.url
    page.get_by_role("link", name=re.compile("^(Go on to|Look through, then)")).tap()
    page.wait_for_url(lambda url: url != before)


@contextmanager
def kept(page: Page, *, refused: bool = False) -> Iterator[None]:
    """What is done inside is one act, safe on the tablet; with a signal the server says what became of it."""
    if page.locator("#kept").inner_text().startswith("No signal"):
        with kept_here(page):
            yield
        return
    with page.expect_response(_is_told) as answer:
        yield
    (ack,) = answer.value.json()["acks"]
    # Sent a second time, as after an answer that was lost with the page it went to, it is known to the server.
    assert ack["status"] in ({"rejected"} if refused else {"ok", "duplicate"}), ack
    expect(page.locator("#kept")).to_have_text("1 refused: see why" if refused else "All sent")


@contextmanager
def kept_here(page: Page) -> Iterator[None]:
    """Without a signal: the page tells of the act once it is on disk."""
    page.evaluate(
        """() => {
          delete document.documentElement.dataset.kept;
          const told = () => { document.documentElement.dataset.kept = ""; };
          document.addEventListener("tablet:kept", told, { once: true });
        }"""
    )
    yield
    page.wait_for_selector("html[data-kept]", state="attached")


def _is_told(response: Response) -> bool:
    """Entries went out: an empty batch only asks how far the server is."""
    is_batch = response.request.method == "POST" and response.url.endswith("/tablet/entries/")
    return is_batch and bool(response.request.post_data_json["entries"])


def speak(page: Page, language: str) -> None:
    """In the customer's language, which is folded away once it is chosen."""
    if page.locator("#language:not([open])").count():
        page.locator("#language > summary").tap()
    with kept(page):
        page.get_by_role("button", name=language, exact=True).tap()


def press(target: Locator) -> None:
    """A finger presses what stands still: it is scrolled to and drawn before."""
    with suppress(Error):  # what came from the server took its place meanwhile: the press looks for it again
        target.scroll_into_view_if_needed()
        target.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
    target.tap()


def answer(page: Page, question: str, word: str) -> None:
    """A Check, a Seal or a known Mark."""
    button = page.get_by_role("group", name=question, exact=True).get_by_role("button", name=word, exact=True)
    with kept(page):
        press(button)
    expect(button).to_have_attribute("aria-pressed", "true")


def answer_well(page: Page) -> None:
    """Every open pair with its first word, which is the good one."""
    for question in [pair.get_attribute("aria-label") for pair in page.locator("[role=group].pair").all()]:
        buttons = page.get_by_role("group", name=str(question), exact=True).get_by_role("button")
        if "true" not in [button.get_attribute("aria-pressed") for button in buttons.all()]:
            answer(page, str(question), buttons.first.inner_text())


def count_all(page: Page) -> None:
    """Each Count is what was offered: a press on the dashed figure says so."""
    offered = page.get_by_role("textbox", name="press to say so")
    while left := offered.count():
        with kept(page):
            press(offered.first)
        expect(offered).to_have_count(left - 1)


def read(page: Page, instrument: str, typed: str) -> None:
    """Typed and left."""
    field = page.get_by_role("textbox", name=instrument, exact=True)
    with kept(page):
        field.fill(typed)
        field.press("Tab")


def step_up(page: Page, instrument: str, *, presses: int = 1) -> None:
    more = page.get_by_role("group", name=instrument, exact=True).get_by_role("button", name=re.compile(" more$"))
    with kept(page):
        for _ in range(presses):
            more.tap()


def drag_stick(page: Page, name: str, share: float) -> None:
    """A finger on the dip-stick, drawn to a share of its height, counted from above."""
    box = page.get_by_role("slider", name=re.compile(f"^{name}")).bounding_box()
    assert box
    x, y = box["x"] + box["width"] / 2, box["y"]
    with kept(page):
        touch(page, [(x, y + box["height"] * 0.8), (x, y + box["height"] * 0.6), (x, y + box["height"] * share)])


def hear_topics(page: Page) -> None:
    """One at a time, each by the customer's own press."""
    understood = page.get_by_role("button", name=": I understand")
    title = page.get_by_role("heading", name=re.compile("^Topic"))
    while understood.count():
        said = title.inner_text()
        with kept(page):
            understood.tap()
        expect(title).not_to_have_text(said)


def rest_as_before(page: Page) -> None:
    """Where it is offered."""
    rest = page.get_by_role("button", name=re.compile("^Rest as (last return|pickup)$"))
    if rest.count():
        with kept(page):
            rest.tap()


def nothing_open(page: Page) -> None:
    expect(page.get_by_text("Nothing open here")).to_be_visible()


def photo(page: Page, shows: str, taken: bytes | None = None) -> None:
    """Taken by the tablet's camera; a JPEG of one colour if it does not matter what it shows."""
    _disclose(page, "Photo")
    page.get_by_label("What it shows").select_option(label=shows)
    take(page.locator("#photo-file"), taken)
    with kept(page):
        page.get_by_role("button", name="Keep the photo").tap()
    expect(page.get_by_role("heading", name="Photos")).to_be_visible()


def photograph(page: Page) -> None:
    """Every frame of the station that is empty; a photo goes without a further press."""
    empty = page.locator(".frame:not(.taken) input[type=file]")
    while left := empty.count():
        with kept(page):
            take(empty.first)
        expect(empty).to_have_count(left - 1)


def take(frame: Locator, taken: bytes | None = None) -> None:
    """As a press on it does, it has the focus while the camera is open: what it stands in is not made anew then."""
    frame.focus()
    frame.set_input_files({"name": "IMG_0042.jpg", "mimeType": "image/jpeg", "buffer": taken or jpeg()})


def jpeg() -> bytes:
    out = BytesIO()
    Image.new("RGB", (1200, 900), "#3d434c").save(out, "JPEG")
    return out.getvalue()


def aim(page: Page, right: float, down: float) -> None:
    """With the form of a new Mark open: taps the plan at a share of its width and height."""
    _disclose(page, "New mark")
    plan = page.get_by_role("group", name=re.compile("^Plan of unit"))
    box = plan.bounding_box()
    assert box
    plan.tap(position={"x": box["width"] * right, "y": box["height"] * down})


def pin_mark(page: Page, place: str, size: str) -> None:
    page.get_by_label("Where, in words").fill(place)
    page.get_by_label("Longest side, in mm").fill(size)
    with kept(page):
        page.get_by_role("button", name="Pin the mark").tap()


def _disclose(page: Page, summary: str) -> None:
    """Opens what unfolds under these words."""
    page.locator("summary").get_by_text(summary, exact=True).tap()


def unfold(row: Locator) -> None:
    """Opens a line's Workings if they are folded."""
    details = row.locator("details").first
    if details.get_attribute("open") is None:
        details.locator("summary").first.tap()


def sign(page: Page, name: str) -> None:
    """With a finger. Mouse strokes are not seen by the sheet of a touch screen, so it is the browser's own touch."""
    sheet = page.get_by_role("img", name=f"Sheet for the signature of {name}")
    # It brings the sheet into view and waits while the server's look-through takes the place of the tablet's own.
    for _turn in range(50):
        sheet.tap(trial=True)
        if box := sheet.bounding_box():  # none in the moment of the change
            break
        page.wait_for_timeout(100)
    assert box
    x, y = box["x"] + box["width"] * 0.2, box["y"] + box["height"] * 0.7
    touch(page, [(x, y), (x + 30, y - 40), (x + 55, y), (x + 85, y - 30), (x + 120, y - 4)])


def touch(page: Page, points: list[tuple[float, float]]) -> None:
    """A finger goes down, along the points, rests and is lifted: lifted in full flight it would be a flick."""
    session = page.context.new_cdp_session(page)
    (first_x, first_y), *rest = points
    session.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": first_x, "y": first_y}]})
    for x, y in rest:
        session.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [{"x": x, "y": y}]})
    page.wait_for_timeout(REST_MS)
    session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    # The session stays: letting it go would bring the signal back to a tablet that has none.
