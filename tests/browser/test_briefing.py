"""The briefing on a tablet: the language changes without a signal, every Topic follows, and what was shown is told."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, Request, expect

from tests.browser import steps
from tests.browser.chromium import LANDSCAPE, PORTRAIT
from tests.browser.seeing import barriers, beyond_the_edge, double_the_text, small_targets, small_texts, unfold

AsPerson = Callable[[str], Page]


def at_the_filler(page: Page, under_way: dict[str, str]) -> None:
    """Two Topics: Diesel only can hurt, AUS 32 prevents damage."""
    page.goto(under_way["pickup"].replace("/station/1/", "/station/3/"))
    expect(page.locator("#kept")).to_have_text("All sent")


def told(page: Page) -> str:
    """The words on the screen, with the language and direction that are said of them."""
    place = page.locator("#topic [data-told]")
    return f"{place.get_attribute('lang')} {place.get_attribute('dir')} {place.inner_text()}"


@pytest.fixture
def reset(page: Page, as_person: AsPerson, under_way: dict[str, str]):
    """Isla at the filler; afterwards the customer reads English again."""
    as_person("isla")
    at_the_filler(page, under_way)
    yield
    page.context.set_offline(False)
    at_the_filler(page, under_way)
    # What was said out of reach goes first, and is told of by itself.
    expect(page.locator("#kept")).to_have_text("All sent")
    steps.speak(page, "English")


def test_it_changes_without_a_signal(page: Page, reset: None) -> None:
    # The shell is on the tablet: cut off while it is fetched, a browser complains in its console.
    page.wait_for_selector("html[data-put-by]", state="attached")
    page.context.set_offline(True)
    expect(page.locator("#kept")).to_contain_text("No signal")
    steps.speak(page, "العربية")
    assert told(page).startswith("ar rtl السلامة")
    expect(page.get_by_role("button", name="Noor: فهمت ذلك")).to_have_attribute("dir", "rtl")
    page.get_by_text("In English").tap()
    expect(page.get_by_text("Black cap: diesel and nothing else.")).to_be_visible()
    expect(page.locator("#language")).not_to_have_attribute("open", "")


def test_what_was_shown_and_how_long_is_told(page: Page, reset: None, under_way: dict[str, str]) -> None:
    """At a station that no other test answers; declined, so that its Topic stays."""
    page.goto(under_way["pickup"].replace("/station/1/", "/station/9/"))
    sent: list[dict] = []
    page.on("request", lambda request: sent.extend(_topics(request)))
    steps.speak(page, "Deutsch")
    page.wait_for_timeout(2100)
    page.get_by_text("Not confirmed").tap()
    with steps.kept(page):
        page.get_by_role("button", name="Declined").tap()
    (fields,) = (entry["fields"] for entry in sent)
    assert (fields["outcome"], fields["language"]) == ("declined", "de")
    assert len(fields["text_sha256"]) == 64
    assert 2 <= int(fields["seconds"]) <= 60


def _topics(request: Request) -> list[dict]:
    if not request.url.endswith("/tablet/entries/"):
        return []
    return [entry for entry in request.post_data_json["entries"] if entry["kind"] == "topic"]


def test_the_next_station_speaks_it_too(page: Page, reset: None, under_way: dict[str, str]) -> None:
    steps.speak(page, "Nederlands")
    page.goto(under_way["pickup"].replace("/station/1/", "/station/6/"))
    expect(page.get_by_role("heading", name="Gas", exact=True)).to_be_visible()
    assert told(page).startswith("nl ltr Veiligheid")
    assert "Conceptvertaling, nog niet goedgekeurd" in told(page)


@pytest.mark.parametrize("glass", [LANDSCAPE, PORTRAIT])
@pytest.mark.parametrize("language", ["العربية", "Deutsch"])
def test_nobody_is_kept_out(page: Page, reset: None, language: str) -> None:
    steps.speak(page, language)
    unfold(page)
    assert not barriers(page) + small_targets(page) + small_texts(page) + beyond_the_edge(page)
    double_the_text(page)
    assert not beyond_the_edge(page)


@pytest.mark.parametrize("place", ["/briefing/", "/briefing/skerry/ar/", "/briefing/machair/fr/"])
def test_the_coordinators_pages_keep_nobody_out(page: Page, as_person: AsPerson, place: str) -> None:
    as_person("maeve").goto(place)
    assert not barriers(page) + small_targets(page) + small_texts(page) + beyond_the_edge(page)


def test_a_text_is_approved_by_a_press(page: Page, as_person: AsPerson) -> None:
    as_person("maeve").goto("/briefing/machair/es/")
    first = page.get_by_role("region", name="How high, how long, how heavy")
    first.get_by_role("button", name="Approve").tap()
    expect(first.get_by_text("Maeve Corry")).to_be_visible()
    first.get_by_role("button", name="Back to a draft").tap()
    expect(first.get_by_role("button", name="Approve")).to_be_visible()
