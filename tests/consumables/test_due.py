"""Due dates against a rental from 1 to 15 July and a week's margin."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from consumables.due import INTERVALS, DueCheck, due_check, next_due

LEAVES, BACK = date(2026, 7, 1), date(2026, 7, 15)


def check(due_on: date | None, kind: str = "extinguisher") -> DueCheck:
    return due_check(kind, due_on, leaves_on=LEAVES, back_on=BACK)


@pytest.mark.parametrize(
    ("due_on", "state", "stops"),
    [
        (date(2026, 6, 30), "expired", True),
        (LEAVES, "on_the_trip", True),
        (BACK, "on_the_trip", True),
        (date(2026, 7, 22), "soon", False),
        (date(2026, 7, 23), "good", False),
        (None, "not_known", False),
    ],
)
def test_one_date(due_on: date | None, state: str, stops: bool) -> None:
    found = check(due_on)
    assert (found.state, found.stops) == (state, stops)


def test_it_says_the_dates() -> None:
    assert str(check(date(2026, 7, 9)).sentence).startswith("Is due on 9 Jul 2026, before the return on 15 Jul 2026.")
    assert str(check(None).sentence) == "No date is kept: look at the tag and enter it."


def test_only_safety_holds_a_unit() -> None:
    assert not check(date(2026, 6, 1), kind="insurance").stops
    assert check(date(2026, 6, 1), kind="gas").stops


def test_a_rental_that_ends_before_it_begins() -> None:
    with pytest.raises(ValueError, match="cannot end"):
        due_check("gas", None, leaves_on=BACK, back_on=LEAVES)


@given(st.sampled_from(sorted(INTERVALS)), st.dates(date(2000, 1, 1), date(2090, 1, 1)))
def test_the_next_date_is_that_many_months_on(kind: str, done: date) -> None:
    due = next_due(kind, done)
    assert (due.year - done.year) * 12 + due.month - done.month == INTERVALS[kind].months
    assert due.day <= done.day


@given(st.integers(0, 60), st.integers(0, 60))
def test_a_wider_margin_never_makes_a_date_good(days: int, more: int) -> None:
    due_on = BACK + timedelta(days=1 + days)
    near, far = (due_check("gas", due_on, leaves_on=LEAVES, back_on=BACK, margin=timedelta(days=10 + extra))
                 for extra in (0, more))  # fmt: skip
    assert far.state == "soon" or near.state == "good"
