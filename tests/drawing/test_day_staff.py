import re
from datetime import time
from pathlib import Path

import pytest

from fleet.drawing.day_staff import PEG_HEIGHT, QUARTER, DayStaff, day_staff, day_staff_svg, places
from tests.drawing.conftest import by_class, numbers, read

SHEET = (Path(__file__).parents[2] / "static" / "css" / "day-board.css").read_text()
TEN_HOURS = DayStaff(first_hour=8, hours=10)


def test_an_ordinary_day_runs_from_8_to_18():
    assert day_staff([time(9), time(16, 45)], [time(8, 30)]) == TEN_HOURS
    assert TEN_HOURS.classes == "h10 x1"


def test_an_early_and_a_late_rental_lengthen_the_day():
    assert day_staff([time(6, 30)], [time(20, 15)]) == DayStaff(first_hour=6, hours=15)


def test_a_full_day_is_drawn_longer():
    assert day_staff([time(9)] * 20).stretch == 2
    assert day_staff([time(9)] * 200).stretch == 4


def test_a_peg_stands_at_its_quarter_hour():
    assert places(TEN_HOURS, [time(9), time(10, 15), time(16, 45)]) == (4, 9, 35)


def test_two_at_the_same_time_do_not_touch():
    first, second = places(TEN_HOURS, [time(10), time(10)])
    assert (second - first) * QUARTER >= PEG_HEIGHT


def test_the_last_ones_of_the_day_push_the_others_up():
    assert places(TEN_HOURS, [time(17, 30), time(17, 45), time(18)]) == (32, 36, 40)


@pytest.mark.parametrize(("moment", "quarter"), [(time(7), 0), (time(8, 7), 0), (time(8, 8), 1), (time(23), 40)])
def test_what_lies_beyond_the_day_is_kept_on_the_staff(moment, quarter):
    assert TEN_HOURS.quarter(moment) == quarter


def test_the_staff_of_a_day_has_its_hours_and_the_time():
    svg = day_staff_svg(TEN_HOURS, label="Hours from 8 to 18; now 11:52", now=time(11, 52))
    assert [text.text for text in by_class(svg, "no")] == [f"{hour:02d}" for hour in range(8, 19)]
    assert by_class(svg, "now-text")[0].text == "11:52"
    assert numbers(by_class(svg, "now-line")[0].get("d"))[1] == pytest.approx(261.9, abs=0.1)


def test_another_day_has_no_now():
    svg = day_staff_svg(TEN_HOURS, label="Hours from 8 to 18")
    assert by_class(svg, "now-plate") == by_class(svg, "past") == []


@pytest.mark.parametrize("hours", range(8, 17))
@pytest.mark.parametrize("stretch", [1, 2, 3, 4])
def test_the_sheet_knows_the_height_of_every_staff(hours, stretch):
    staff = DayStaff(first_hour=6, hours=hours, stretch=stretch)
    selector = f".board.h{hours}" + (f".x{stretch}" if stretch > 1 else "")
    height = int(re.search(re.escape(selector) + r" \{ --staff: (\d+)px", SHEET)[1])
    assert 0 <= height - staff.y(hours * 60) <= 14
    assert float(read(day_staff_svg(staff, label="x")).get("height")) <= height + 20


def test_the_sheet_has_a_place_for_every_quarter_hour():
    assert [int(n) for n in re.findall(r"\.q(\d+) \{ top", SHEET)] == list(range(96))
