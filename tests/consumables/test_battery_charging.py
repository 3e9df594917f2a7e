"""How long charging takes, what loads and the sun do in a day."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from consumables.battery import Chemistry, Load, charge_time, charged, drawn, drawn_in_a_day, hours_at, solar_yield
from shared.units import quantity, value_in

AGM, FLOODED, LITHIUM = Chemistry.AGM, Chemistry.FLOODED, Chemistry.LITHIUM
C100 = quantity(100, "Ah")
TEN_A = quantity(10, "A")
MIDSUMMER, MIDWINTER = date(2026, 6, 21), date(2026, 12, 21)


def hours_to_full(percent: int, chemistry: Chemistry = AGM, amperes: int = 10) -> Decimal:
    return value_in(charge_time(C100, Decimal(percent), quantity(amperes, "A"), chemistry).to_full, "h")


def after(percent: int, hours: str, chemistry: Chemistry = AGM) -> Decimal:
    return charged(C100, Decimal(percent), TEN_A, quantity(hours, "h"), chemistry)


@pytest.mark.parametrize(("percent", "hours"), [(0, 15), (50, 9), (90, 3), (95, "1.5"), (100, 0)])
def test_lead_takes_three_hours_for_its_last_tenth(percent: int, hours: int | str) -> None:
    assert hours_to_full(percent) == Decimal(hours)


def test_lithium_needs_no_topping() -> None:
    time = charge_time(C100, Decimal(50), TEN_A, LITHIUM)
    assert time.to_most == time.to_full == quantity("5.25", "h")


@pytest.mark.parametrize("amperes", [0, -5])
def test_without_current_there_is_no_time(amperes: int) -> None:
    with pytest.raises(ValueError, match="A charger gives a current above 0"):
        charge_time(C100, Decimal(50), quantity(amperes, "A"), AGM)


@pytest.mark.parametrize(
    ("percent", "hours", "reached"),
    [(50, "0", 50), (50, "3", 70), (50, "6", 90), (50, "7.5", 95), (50, "9", 100), (50, "20", 100)],
)
def test_how_far_some_hours_bring_it(percent: int, hours: str, reached: int) -> None:
    assert after(percent, hours) == reached


def test_from_nearly_full_it_is_all_topping() -> None:
    assert after(94, "0.9") == 97


def test_how_far_some_hours_bring_lithium() -> None:
    assert after(50, "2.1", LITHIUM) == 70


def test_no_charger_leaves_it_where_it_is() -> None:
    assert charged(C100, Decimal(50), quantity(0, "A"), quantity(9, "h"), AGM) == 50


@given(st.sampled_from(Chemistry), st.integers(0, 100), st.integers(0, 40), st.integers(0, 40))
def test_longer_never_charges_less(chemistry: Chemistry, percent: int, one: int, other: int) -> None:
    shorter, longer = sorted((one, other))
    states = [charged(C100, Decimal(percent), TEN_A, quantity(hours, "h"), chemistry) for hours in (shorter, longer)]
    assert percent <= states[0] <= states[1] <= 100


@given(st.sampled_from(Chemistry), st.integers(0, 99))
def test_the_time_to_full_fills_it(chemistry: Chemistry, percent: int) -> None:
    time = charge_time(C100, Decimal(percent), TEN_A, chemistry)
    assert charged(C100, Decimal(percent), TEN_A, time.to_full, chemistry) == 100


@pytest.mark.parametrize("amperes", [0, -1])
def test_a_battery_that_gives_nothing_never_ends(amperes: int) -> None:
    with pytest.raises(ValueError, match="is never empty"):
        hours_at(C100, quantity(amperes, "A"), Decimal("1.1"))


def taken(amperes: int, hours: int, chemistry: Chemistry = FLOODED) -> Decimal:
    return value_in(drawn(C100, quantity(amperes, "A"), quantity(hours, "h"), chemistry), "Ah")


def test_heavy_draws_take_more_out_of_lead() -> None:
    assert taken(20, 1) > 20
    assert taken(20, 1, AGM) < taken(20, 1)


def test_light_draws_give_nothing_back() -> None:
    assert taken(2, 10) == 20


def test_lithium_is_drawn_as_it_is() -> None:
    assert taken(20, 1, LITHIUM) == 20


def a_day(*loads: Load, people: int = 2, frost: bool = False) -> Decimal:
    found = drawn_in_a_day(loads, people=people, frost=frost, capacity=C100, chemistry=AGM)
    return value_in(found, "Ah")


def test_a_day_adds_up_its_loads() -> None:
    assert a_day(Load("Refrigerator", Decimal(45), Decimal(8)), Load("Lights", Decimal(12), Decimal(5))) == 35


def test_what_each_person_uses_counts_by_person() -> None:
    phones = Load("Phones", Decimal(12), Decimal(0), hours_each=Decimal(2))
    assert (a_day(phones), a_day(phones, people=4)) == (4, 8)


def test_some_loads_are_on_in_frost_only() -> None:
    fan = Load("Heating fan", Decimal(24), Decimal(8), in_frost=True)
    assert (a_day(fan), a_day(fan, frost=True)) == (0, 16)


def test_no_loads_draw_nothing() -> None:
    assert a_day() == 0


def sun(latitude: str, day: date = MIDSUMMER, watts: int = 100) -> Decimal:
    return value_in(solar_yield(quantity(watts, "W"), Decimal(latitude), day).usual, "Ah")


def test_summer_brings_more_than_winter() -> None:
    assert sun("57.6") > 6 * sun("57.6", MIDWINTER)


def test_south_of_the_line_the_seasons_change_places() -> None:
    assert sun("-40") < sun("-40", MIDWINTER)


def test_in_the_polar_night_there_is_none() -> None:
    assert sun("70", MIDWINTER) == 0


def test_twice_the_panel_brings_twice() -> None:
    assert sun("45", watts=200) == 2 * sun("45")


def test_dull_usual_and_bright() -> None:
    found = solar_yield(quantity(100, "W"), Decimal(50), MIDSUMMER)
    assert found.dull < found.usual < found.bright
