"""Power by night: when to plug in, when the battery lasts, when to drive more."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from consumables.battery import Chemistry
from consumables.trip_plan import Party, Power, Stop
from consumables.trip_plan.power import LONGEST_ALONE, nights_alone, power_by_night
from consumables.water import Habit
from tests.consumables.trips import FRIDAY, TWO, away, battery, party, stops, words

LITHIUM = battery(chemistry=Chemistry.LITHIUM, capacity_ah=Decimal(200))
STILL = party(drive_h=Decimal(0))
SIZES = st.integers(60, 300).map(Decimal)


def advice(*there: bool | None, **said: Decimal) -> list[str]:
    return words(power_by_night(battery(**said), TWO, stops(*there)))


def test_a_place_with_mains_is_used() -> None:
    assert advice(True, True) == ["mains_there", "mains_there"]


def test_before_nights_without_it_is_needed() -> None:
    assert advice(True, False, False, False)[0] == "plug_in"


def test_an_open_place_asks_for_mains_only_when_needed() -> None:
    assert advice(None, None, None) == ["lasts", "lasts", "plug_in"]


def test_nothing_is_asked_of_the_last_mains_that_is_not_needed() -> None:
    assert advice(None) == ["lasts"]


def test_where_it_would_not_do_some_driving_helps() -> None:
    """By hand: 97 % driven to 100, less 25.3 is 74.7; to 85.3, less 25.3 is 60; to 73.1, less 25.3 is 47.9."""
    nights = power_by_night(battery(), TWO, away(3))
    assert [night.advice for night in nights] == [Power.LASTS, Power.LASTS, Power.DRIVE]
    assert [round(night.morning_pct) for night in nights] == [75, 60, 50]
    assert nights[2].more_drive_h == Decimal("0.5")


def test_without_a_charger_on_the_road_driving_does_not_help() -> None:
    assert advice(False, False, drive_a=Decimal(0)) == ["lasts", "short"]


def test_too_much_driving_is_not_asked() -> None:
    assert advice(False, False, False, drive_a=Decimal("0.5"))[-1] == "short"


def test_without_a_mains_charger_nobody_plugs_in() -> None:
    assert "plug_in" not in advice(True, True, True, charger_a=Decimal(0))


def test_a_night_on_mains_fills_it() -> None:
    night = power_by_night(battery(percent=Decimal(80)), TWO, stops(True))[0]
    assert (night.advice, night.morning_pct) == (Power.MAINS_THERE, 100)


def test_a_night_on_a_small_charger_does_not_fill_it() -> None:
    night = power_by_night(battery(percent=Decimal(40), charger_a=Decimal(3)), STILL, stops(True))[0]
    assert 40 < night.morning_pct < 90


def test_a_charger_smaller_than_the_loads_loses() -> None:
    night = power_by_night(battery(charger_a=Decimal("0.5")), STILL, stops(True))[0]
    assert night.morning_pct < night.evening_pct


def test_driving_and_sun_fill_it_by_the_evening() -> None:
    sunny = battery(percent=Decimal(60), solar_w=Decimal(120))
    driven, still, dark = (
        power_by_night(which, who, away(1))[0].evening_pct
        for which, who in ((sunny, TWO), (sunny, STILL), (battery(percent=Decimal(60)), STILL))
    )
    assert driven > still > dark == 60


def test_no_sun_is_counted_where_the_place_is_not_known() -> None:
    sunny = battery(percent=Decimal(60), solar_w=Decimal(120))
    assert power_by_night(sunny, STILL, [Stop(FRIDAY)])[0].evening_pct == 60


def test_frost_takes_more() -> None:
    mild, cold = (power_by_night(battery(), TWO, away(1, frost=frost))[0].morning_pct for frost in (False, True))
    assert mild - cold == pytest.approx(Decimal(1600) / 95)


@pytest.mark.parametrize(
    ("solar", "drive_h", "nights"), [(0, "0", 1), (0, "1", 2), (0, "4", LONGEST_ALONE), (200, "1", LONGEST_ALONE)]
)
def test_nights_alone(solar: int, drive_h: str, nights: int) -> None:
    who = party(drive_h=Decimal(drive_h))
    assert nights_alone(battery(solar_w=Decimal(solar)), who, away(1)[0]) == nights


def test_a_small_battery_lasts_no_night() -> None:
    assert nights_alone(battery(capacity_ah=Decimal(40)), STILL, away(1)[0]) == 0


def test_a_large_lithium_one_lasts_long() -> None:
    assert nights_alone(LITHIUM, STILL, away(1)[0]) == 6


@settings(max_examples=40)
@given(SIZES, SIZES)
def test_a_larger_battery_never_lasts_shorter(one: Decimal, other: Decimal) -> None:
    small, large = (nights_alone(battery(capacity_ah=size), STILL, away(1)[0]) for size in sorted((one, other)))
    assert small <= large


@settings(max_examples=40)
@given(st.integers(1, 11), st.integers(60, 300))
def test_more_people_never_last_longer(people: int, size: int) -> None:
    few, many = (
        nights_alone(battery(capacity_ah=Decimal(size)), party(people=count), away(1)[0])
        for count in (people, people + 1)
    )
    assert many <= few


@settings(max_examples=40)
@given(st.integers(0, 300), st.integers(0, 300))
def test_more_sun_never_lasts_shorter(one: int, other: int) -> None:
    less, more = (nights_alone(battery(solar_w=Decimal(watts)), STILL, away(1)[0]) for watts in sorted((one, other)))
    assert less <= more


@settings(max_examples=40)
@given(
    st.lists(st.sampled_from([True, False, None]), min_size=1, max_size=12),
    st.integers(0, 100), st.sampled_from(Chemistry), st.integers(1, 6), st.integers(0, 200),
)  # fmt: skip
def test_a_battery_stays_between_empty_and_full(
    there: list[bool | None], percent: int, chemistry: Chemistry, people: int, solar: int
) -> None:
    unit = battery(percent=Decimal(percent), chemistry=chemistry, solar_w=Decimal(solar))
    nights = power_by_night(unit, Party(people, Habit.USUAL, Decimal(1)), stops(*there))
    assert len(nights) == len(there)
    assert all(0 <= state <= 100 for night in nights for state in (night.evening_pct, night.morning_pct))


@settings(max_examples=40)
@given(st.lists(st.sampled_from([True, False, None]), min_size=1, max_size=12), st.integers(50, 100))
def test_what_lasts_stays_above_the_reserve(there: list[bool | None], percent: int) -> None:
    nights = power_by_night(battery(percent=Decimal(percent)), TWO, stops(*there))
    kept = [night for night in nights if night.advice in {Power.LASTS, Power.DRIVE}]
    assert all(night.morning_pct >= 50 for night in kept)
