"""Litres and days for a party."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from consumables.water import AUTHORISED, DRINKING, FROST, Habit, daily, days_until, lasts
from shared.units import Quantity, quantity, value_in


def litres(value: int | str) -> Quantity:
    return quantity(value, "L")


def test_two_sparing_people() -> None:
    used = daily(2, Habit.SPARING)
    assert (value_in(used.fresh, "L"), value_in(used.waste, "L"), value_in(used.cassette, "L")) == (18, 13, 5)


@pytest.mark.parametrize("people", [0, -1])
def test_nobody_uses_no_water(people: int) -> None:
    with pytest.raises(ValueError, match="uses no water"):
        daily(people, Habit.USUAL)


def test_showers_use_most() -> None:
    used = [daily(2, habit).fresh for habit in (Habit.SPARING, Habit.USUAL, Habit.SHOWERS)]
    assert sorted(used) == used


@given(st.integers(1, 12), st.sampled_from(Habit))
def test_waste_grows_with_fresh_and_stays_below_it(people: int, habit: Habit) -> None:
    used, more = daily(people, habit), daily(people + 1, habit)
    assert used.waste < used.fresh
    assert more.waste - used.waste < more.fresh - used.fresh


@pytest.mark.parametrize(("room", "a_day", "days"), [(90, 18, "5"), (80, 13, "6.1"), (10, 18, "0.5"), (0, 18, "0")])
def test_days_are_rounded_down(room: int, a_day: int, days: str) -> None:
    assert days_until(litres(room), litres(a_day)) == Decimal(days)


def test_what_is_full_already_lasts_no_day() -> None:
    assert days_until(litres(-5), litres(18)) == 0


def test_a_small_waste_tank_ends_it_first() -> None:
    last = lasts(fresh_tank=litres(90), waste_tank=litres(20), cassette=litres("17.5"), used=daily(2, Habit.SPARING))
    assert (last.fresh, last.waste, last.cassette, last.least) == (5, Decimal("1.5"), Decimal("3.5"), Decimal("1.5"))


@given(st.integers(1, 11))
def test_more_people_never_last_longer(people: int) -> None:
    few, many = (
        lasts(fresh_tank=litres(90), waste_tank=litres(80), cassette=litres(18), used=daily(count, Habit.USUAL))
        for count in (people, people + 1)
    )
    assert many.least <= few.least
    assert many.cassette <= few.cassette


def test_the_cautions_say_where_and_when() -> None:
    assert "authorised dump points only" in str(AUTHORISED)
    assert "3 to 7 °C" in str(FROST)
    assert "boiled" in str(DRINKING)
