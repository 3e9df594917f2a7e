"""Days and times as each language writes them; the clock has 24 hours everywhere."""

from datetime import UTC, date, datetime, time

import pytest
from django.template import Context, Template
from django.utils.translation import override

from shared import dates

DAY = date(2026, 8, 18)
WRITTEN = {
    "en-gb": ("18 Aug", "18 Aug 2026", "Tuesday 18 August", "18 August 2026", "Tue 18", "Tuesday"),
    "de": ("18. Aug.", "18. Aug. 2026", "Dienstag, 18. August", "18. August 2026", "Di. 18.", "Dienstag"),
    "fr": ("18 août", "18 août 2026", "mardi 18 août", "18 août 2026", "mar. 18", "mardi"),
}


@pytest.mark.parametrize("language", WRITTEN)
def test_a_day(language: str) -> None:
    with override(language):
        written = (
            dates.day_text(DAY), dates.dated(DAY), dates.long_day(DAY), dates.full_day(DAY),
            dates.weekday_and_day(DAY), dates.weekday(DAY),
        )  # fmt: skip
    assert written == WRITTEN[language]


@pytest.mark.parametrize(
    ("language", "moment"), [("en-gb", "18 Aug 07:04"), ("de", "18. Aug. 07:04"), ("fr", "18 août 07:04")]
)
def test_a_moment(language: str, moment: str) -> None:
    with override(language):
        assert dates.moment_text(datetime(2026, 8, 18, 7, 4, tzinfo=UTC)) == moment


def test_a_moment_with_its_year() -> None:
    with override("de"):
        assert dates.dated_moment(datetime(2026, 8, 18, 17, 4, tzinfo=UTC)) == "18. Aug. 2026 17:04"


def test_the_clock() -> None:
    with override("fr"):
        assert dates.clock_text(time(17, 4)) == "17:04"


def test_september_has_four_letters_in_the_house() -> None:
    assert dates.day_text(date(2026, 9, 1)) == "1 Sept"


def test_a_language_whose_days_nobody_has_written_down() -> None:
    with override("en-xa"):
        assert dates.day_text(DAY) == "18 Aug"


def test_on_a_page() -> None:
    page = Template("{{ day|day }}, {{ day|full_day }}, {{ day|weekday }}")
    with override("fr"):
        assert page.render(Context({"day": DAY})) == "18 août, 18 août 2026, mardi"
