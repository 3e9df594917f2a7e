"""On a slow network a person goes on pressing: what is pressed while an answer is on its way is kept too."""

from collections.abc import Callable

from playwright.sync_api import Page, expect

from tests.browser import steps

SLOW_MS = 900


def slow_down(page: Page) -> None:
    slow = {"offline": False, "latency": SLOW_MS, "downloadThroughput": -1, "uploadThroughput": -1}
    page.context.new_cdp_session(page).send("Network.emulateNetworkConditions", slow)


def test_pressed_while_an_answer_is_on_its_way(
    page: Page, as_person: Callable[[str], Page], under_way: dict[str, str]
) -> None:
    as_person("isla").goto(under_way["pickup"].replace("/station/1/", "/station/7/"))
    slow_down(page)
    field = page.get_by_role("textbox", name="Tread, rear, mm")
    field.fill("6.0")
    field.press("Enter")
    expect(page.get_by_text("1 kept here, not sent yet")).to_be_visible()
    with page.expect_response(lambda answer: '"typed":"6.1"' in str(answer.request.post_data)):
        page.get_by_role("button", name="0.1 mm more").tap()
    expect(page.get_by_text("All sent")).to_be_visible()
    page.reload()
    expect(field).to_have_value("6.1")


def test_the_keys_of_a_stepper_keep_the_focus(
    page: Page, as_person: Callable[[str], Page], under_way: dict[str, str]
) -> None:
    as_person("isla").goto(under_way["pickup"].replace("/station/1/", "/station/10/"))
    more = page.get_by_role("button", name="1 % less")
    more.focus()
    for kept in ("99", "98"):
        with steps.kept(page):
            page.keyboard.press("Enter")
        expect(page.get_by_role("textbox", name="House battery, %")).to_have_value(kept)
        expect(more).to_be_focused()
