"""Yearly service of an extinguisher, by the calendar."""

from datetime import date

import pytest

from consumables.due import INTERVALS, next_due

pytestmark = [pytest.mark.reference, pytest.mark.source("BS 5306-3 and NFPA 10, as the trade tells them")]


def test_an_extinguisher_is_serviced_yearly() -> None:
    assert INTERVALS["extinguisher"].months == 12


@pytest.mark.source("The calendar")
@pytest.mark.parametrize(
    ("done", "due"),
    [
        (date(2025, 2, 28), date(2026, 2, 28)),
        (date(2024, 2, 29), date(2025, 2, 28)),
        (date(2025, 12, 31), date(2026, 12, 31)),
    ],
)
def test_due_again(done: date, due: date) -> None:
    assert next_due("extinguisher", done) == due
