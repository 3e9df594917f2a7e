"""What cannot be is said at its field; what was typed stays there, and what else was answered stays answered."""

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from playwright.sync_api import Page, expect

from tests.browser import steps

UNLIKELY = [
    (6, "Front cylinder, kg", "117", "117 kg cannot be right for this cylinder."),
    (3, "Diesel, L", "95", "95 L cannot be: Diesel is full at 90 L."),
    (3, "Diesel, L", "12 gal", "Write US gal or imp gal."),
    (12, "Odometer, mi", "12", "12 mi is less than the"),
]


@pytest.mark.parametrize(("station", "instrument", "typed", "sentence"), UNLIKELY)
def test_a_reading_that_cannot_be(
    page: Page, as_person: Callable[[str], Page], under_way: dict[str, str],
    station: int, instrument: str, typed: str, sentence: str,
) -> None:  # fmt: skip
    as_person("isla").goto(under_way["pickup"].replace("/station/1/", f"/station/{station}/"))
    steps.answer_well(page)
    field = page.get_by_role("textbox", name=instrument, exact=True)
    with steps.kept(page, refused=True):
        field.fill(typed)
        field.press("Tab")
    expect(page.get_by_role("alert")).to_contain_text(sentence)
    expect(field).to_have_value(typed)
    expect(page.get_by_role("button", pressed=True)).not_to_have_count(0)


def test_the_refused_reading_is_put_right_in_place(
    page: Page, as_person: Callable[[str], Page], under_way: dict[str, str]
) -> None:
    as_person("isla").goto(under_way["pickup"].replace("/station/1/", "/station/6/"))
    rear = page.get_by_role("textbox", name="Rear cylinder, kg")
    with steps.kept(page, refused=True):
        rear.fill("90")
        rear.press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("Weigh again.")
    steps.read(page, "Rear cylinder, kg", "9.0")
    expect(page.get_by_role("alert")).to_have_count(0)
    expect(page.get_by_text("= 3.1 kg")).to_be_visible()


@pytest.mark.parametrize("size", ["", "palm", "0"])
def test_a_mark_of_unknown_size(
    page: Page, as_person: Callable[[str], Page], under_way: dict[str, str], size: str
) -> None:
    as_person("isla").goto(under_way["pickup"].replace("/station/1/", "/station/8/"))
    steps.aim(page, 0.26, 0.5)
    page.get_by_label("Where, in words").fill("door, low")
    page.get_by_label("Longest side, in mm").fill(size)
    with steps.kept(page, refused=True):
        page.get_by_role("button", name="Pin the mark").tap()
    expect(page.get_by_role("alert")).to_be_visible()
    expect(page.get_by_label("Longest side, in mm")).to_have_value(size)
    expect(page.get_by_label("Where, in words")).to_have_value("door, low")
    expect(page.get_by_label("Behind the nose, in mm")).not_to_have_value("")


def test_back_before_it_left(page: Page, as_person: Callable[[str], Page]) -> None:
    as_person("callum")
    steps.open_rental(page, "Akiko Brandt")
    before = f"{datetime.now() - timedelta(days=60):%Y-%m-%dT10:00}"  # noqa: DTZ005
    page.get_by_label("At the gate").fill(before)
    page.get_by_role("radio", name="Key drop").check()
    page.get_by_label("Found by").fill("Callum Reid")
    page.get_by_role("button", name="Begin return").tap()
    expect(page.get_by_text("it cannot be back before that.")).to_be_visible()
    expect(page.get_by_label("At the gate")).to_have_value(before)
    expect(page.get_by_role("radio", name="Key drop")).to_be_checked()
