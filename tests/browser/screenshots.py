"""python -m tests.browser.screenshots: every page and main state at both sizes, and the six pictures of the README."""

import re
import subprocess
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, Page, Playwright, expect, sync_playwright

from handover.demo.pictures import gauge
from tests.browser import steps
from tests.browser.chromium import LANDSCAPE, LAUNCH, PORTRAIT, tablet
from tests.browser.seeing import dusk
from tests.browser.serving import ROOT, Server, a_pair_with_regions, demo_server

FOLDER = ROOT / "var" / "screenshots"
README = ROOT / ".readme"
SIZES = {"landscape": LANDSCAPE, "portrait": PORTRAIT}
COLOURS = 256


@dataclass(frozen=True)
class Yard:
    """A served demo in which a pickup and a return are under way, and a browser to look at it."""

    server: Server
    browser: Browser
    places: dict[str, str]

    def look(self, person: str, name: str, address: str, prepare: Callable[[Page], None] = lambda page: None) -> None:
        """One page at both sizes; `prepare` brings it into its state."""
        for held, size in SIZES.items():
            context = self.browser.new_context(base_url=self.server.address, **tablet(size))
            page = context.new_page()
            if person:
                steps.sign_in(page, person)
            page.goto(address)
            prepare(page)
            page.wait_for_load_state("networkidle")
            page.screenshot(path=FOLDER / f"{name}-{held}.png")
            context.close()


def main() -> None:
    FOLDER.mkdir(parents=True, exist_ok=True)
    README.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as var, sync_playwright() as playwright, demo_server(Path(var)) as server:
        _photograph(server, playwright)


def _photograph(server: Server, playwright: Playwright) -> None:
    browser = playwright.chromium.launch(**LAUNCH)
    context = browser.new_context(base_url=server.address, **tablet(LANDSCAPE))
    page = context.new_page()
    yard = Yard(server, browser, steps.begin_the_day(page))
    _walk_on(yard)
    _beside_the_walk(yard)
    _counter(yard)
    _between_rentals(yard)
    _on_the_trip(yard)
    _the_customers_own(yard)
    _as_a_tablet(yard)
    _record_as_printed(page, yard.places["record"])
    for name in ("day-board", "pickup-station", "return-station", "statement", "rental"):
        _reduce(FOLDER / f"{name}-landscape.png", README / f"{name}.png")
    browser.close()


def _walk_on(yard: Yard) -> None:
    """Some stations are done and the sixth is in the middle of it; of the return, the fuel is read."""
    context = yard.browser.new_context(base_url=yard.server.address, **tablet(LANDSCAPE))
    page = context.new_page()
    steps.sign_in(page, "isla")
    page.goto(yard.places["pickup"])
    for number in range(1, 6):
        _answer(page, number)
    steps.go_to_station(page, 6)
    _answer_the_gas_locker(page)
    steps.sign_out(page)
    steps.sign_in(page, "callum")
    page.goto(yard.places["return"])
    for number in (1, 2):
        _answer(page, number)
    steps.go_to_station(page, 3)
    steps.photo(page, "Diesel", gauge(47.5 / 90, "fuel gauge, return"))
    steps.read(page, "Diesel, L", "47.5")
    context.close()


READ = {
    "Diesel, L": "82",
    "AUS 32, L": "15",
    "Fresh water, %": "100",
    "Tread, front, mm": "6.8",
    "Tread, rear, mm": "6.2",
}


def _answer(page: Page, number: int) -> None:
    steps.go_to_station(page, number)
    for instrument, typed in READ.items():
        if page.get_by_role("textbox", name=instrument, exact=True).count():
            steps.read(page, instrument, typed)
    steps.answer_well(page)
    steps.count_all(page)
    steps.hear_topics(page)
    steps.photograph(page)


def _answer_the_gas_locker(page: Page) -> None:
    steps.read(page, "Front cylinder, kg", "11.7")
    steps.answer(page, "Smell of gas", "None")
    steps.answer(page, "Hose and regulator", "Good")


def _beside_the_walk(yard: Yard) -> None:
    yard.look("", "sign-in", "/sign-in/")
    yard.look("", "sign-in-refused", "/sign-in/", _refused)
    yard.look("isla", "me", "/me/")
    yard.look("isla", "second-factor", "/me/second-factor/")
    yard.look("isla", "password", "/me/password/")
    yard.look("anders", "tablets", "/tablets/")
    yard.look("anders", "api-access", "/branch/inverlark/api-access/")
    yard.look("anders", "webhook-deliveries", "/branch/inverlark/webhook-deliveries/")
    yard.look("anders", "api", "/api/")
    yard.look("isla", "new-booking-refused", "/branch/inverlark/new-booking/", lambda page: _press(page, "Book"))
    yard.look("isla", "not-here", "/rental/no-such/")
    yard.look("maeve", "day-board", yard.places["day board"])
    yard.look("maeve", "day-board-dusk", yard.places["day board"], dusk)
    yard.look("maeve", "day-board-tomorrow", yard.places["day board"], _tomorrow)
    yard.look("isla", "pickup-station", yard.places["pickup station"])
    yard.look("isla", "pickup-station-dusk", yard.places["pickup station"], dusk)
    yard.look("isla", "pickup-station-left", yard.places["pickup station"], _left)
    yard.look("isla", "pickup-station-refused", yard.places["pickup station"], _too_heavy)
    yard.look("isla", "pickup-station-new-mark", yard.places["pickup"], lambda page: steps.aim(page, 0.26, 0.5))
    yard.look("isla", "pickup-station-plain", yard.places["pickup"])
    yard.look("isla", "pickup-look-through", yard.places["look-through"])


def _counter(yard: Yard) -> None:
    yard.look("callum", "return-station", yard.places["return station"], _so_far)
    yard.look("callum", "return-station-plain", yard.places["return"])
    yard.look("callum", "return-look-through", yard.places["return"].replace("/station/1/", "/sign/"))
    yard.look("callum", "rental", yard.places["rental"])
    yard.look("callum", "statement", yard.places["statement"])
    yard.look("callum", "statement-dusk", yard.places["statement"], dusk)
    yard.look("callum", "record", yard.places["record"], lambda page: _press(page, "Check now", role="link"))
    for place in steps.OFFICE:
        yard.look("ruth", place, yard.places[place])
    yard.look("callum", "out", "/", lambda page: steps.open_rental(page, "Akiko Brandt"))
    yard.look("callum", "held", "/", lambda page: steps.open_rental(page, "Piet van Asselt"))


def _between_rentals(yard: Yard) -> None:
    yard.look("maeve", "tank-dusk", yard.places["tank"], dusk)
    yard.look("maeve", "briefing", "/briefing/")
    yard.look("maeve", "translations", "/briefing/", lambda page: page.get_by_role("link", name="Deutsch").first.tap())


def _on_the_trip(yard: Yard) -> None:
    """Noor Halabi's Cab card, as the host sees it and as she does."""
    yard.look("isla", "cab-card", "/", _cab_card)
    yard.look("isla", "cab-card-plan", "/", _plan)
    yard.look("isla", "cab-card-phone", "/", _on_the_phone)


def _the_customers_own(yard: Yard) -> None:
    """What Akiko Brandt has on her phone while she is out, and Maren Oduya once hers is settled; the public page."""
    yard.look("isla", "customer-links", "/", _links)
    yard.look("isla", "customer-page", "/", lambda page: _on_their_phone(page, "Akiko Brandt"))
    yard.look("isla", "customer-report", "/", lambda page: _on_their_phone(page, "Akiko Brandt", "Something is not"))
    yard.look("isla", "customer-statement", "/", lambda page: _on_their_phone(page, "Maren Oduya", "Every line"))
    yard.look("", "check-page", "/check/")


def _links(page: Page) -> None:
    steps.open_rental(page, "Akiko Brandt")
    _press(page, "Customer’s link", role="link")
    _press(page, "Make")


def _on_their_phone(page: Page, customer: str, then: str = "") -> None:
    steps.open_rental(page, customer)
    steps.to_the_customers_page(page)
    if then:
        _press(page, then, role="link")


def _cab_card(page: Page) -> None:
    steps.open_cab_card(page, "Noor Halabi")


def _plan(page: Page) -> None:
    _cab_card(page)
    _press(page, "Plan party and nights", role="link")


def _on_the_phone(page: Page) -> None:
    _cab_card(page)
    steps.on_the_phone(page)


def _as_a_tablet(yard: Yard) -> None:
    yard.look("isla", "day-on-the-tablet", "/", _the_day_without_a_signal)
    yard.look("isla", "no-signal", yard.places["pickup station"], _without_a_signal)
    yard.look("isla", "who-is-here", yard.places["pickup station"], _who_is_here)
    yard.look("isla", "briefing-in-arabic", yard.places["pickup station"], _in_arabic)
    yard.look("callum", "key-drop", "/", _key_drop)
    yard.look("ruth", "two-photos", f"/photo-pair/{a_pair_with_regions(yard.server)}/")


def _without_a_signal(page: Page) -> None:
    page.wait_for_selector("html[data-put-by]", state="attached", timeout=60_000)
    page.context.set_offline(True)
    expect(page.locator("#kept")).to_contain_text("No signal", timeout=60_000)


def _the_day_without_a_signal(page: Page) -> None:
    """As after a morning at the board: what is begun and to begin stands on the tablet."""
    _without_a_signal(page)
    page.goto("/shell/")
    page.wait_for_selector("html[data-ready]", state="attached")


def _who_is_here(page: Page) -> None:
    page.wait_for_selector("html[data-ready]", state="attached")
    page.locator("a[data-person]").tap()
    expect(page.get_by_role("heading", name="Who is here?")).to_be_visible()


def _in_arabic(page: Page) -> None:
    steps.speak(page, "العربية")
    page.locator("#topic").scroll_into_view_if_needed()


def _key_drop(page: Page) -> None:
    steps.open_rental(page, "Akiko Brandt")
    page.get_by_role("radio", name="Key drop").check()


def _press(page: Page, name: str, *, role: str = "button") -> None:
    page.get_by_role(role, name=name).tap()  # type: ignore[arg-type]
    page.wait_for_load_state("networkidle")


def _refused(page: Page) -> None:
    page.get_by_label("Name").fill("isla")
    page.get_by_label("Password").fill("not hers")
    _press(page, "Sign in")


def _left(page: Page) -> None:
    page.evaluate("() => { document.documentElement.dataset.hand = 'left'; }")


def _tomorrow(page: Page) -> None:
    page.get_by_role("link", name=re.compile(r"day: \d")).tap()


def _too_heavy(page: Page) -> None:
    field = page.get_by_role("textbox", name="Rear cylinder, kg")
    field.fill("117")
    field.press("Tab")
    expect(page.get_by_role("alert")).to_be_visible()


def _so_far(page: Page) -> None:
    expect(page.get_by_text(re.compile("^Due £"))).to_be_visible()


def _record_as_printed(page: Page, address: str) -> None:
    """The first page of the return Record, as poppler draws it."""
    pdf = FOLDER / "record.pdf"
    kept = page.request.get(f"{address}record.pdf")
    assert kept.headers["content-type"] == "application/pdf"
    pdf.write_bytes(kept.body())
    drawn = FOLDER / "record-page"
    subprocess.run(["pdftoppm", "-png", "-r", "96", "-f", "1", "-l", "1", "-singlefile", pdf, drawn], check=True)
    _reduce(drawn.with_suffix(".png"), README / "record.png")


def _reduce(drawn: Path, kept: Path) -> None:
    """To a palette: flat colours lose nothing that is seen, and the repository stays light."""
    with Image.open(drawn) as image:
        image.convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE).save(kept, optimize=True)


if __name__ == "__main__":
    main()
