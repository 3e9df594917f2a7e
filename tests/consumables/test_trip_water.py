"""Water by night: where to fill, where to empty, and when it will not do."""

from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from consumables.trip_plan import WaterNight
from consumables.trip_plan.tanks import days_to, water_by_night
from consumables.water import Habit
from tests.consumables.trips import TWO, away, party, stops, tanks

FAMILY = party(people=4, habit=Habit.USUAL)
THERE = st.lists(st.sampled_from([True, False, None]), min_size=1, max_size=14)


def litres(*there: bool | None) -> list[int]:
    return [int(night.fresh_l) for night in water_by_night(tanks(), TWO, stops(*there))]


def family(*there: bool | None) -> tuple[WaterNight, ...]:
    return water_by_night(tanks(), FAMILY, stops(*there))


def test_a_days_use_lies_between_two_evenings() -> None:
    assert litres(False, False, False) == [90, 72, 54]


def test_it_is_filled_where_there_is_water_from_half_on() -> None:
    assert litres(True, True, True, True) == [90, 72, 54, 90]


def test_an_open_place_is_asked_only_when_needed() -> None:
    nights = water_by_night(tanks(), TWO, stops(None, None, None, None, None, None))
    assert [night.fill_l for night in nights] == [0, 0, 0, 0, 0, 90]


def test_before_nights_without_water_it_is_filled() -> None:
    nights = family(True, True, False, False)
    assert (nights[1].fill_l, nights[1].fresh_l) == (56, 90)


def test_too_little_for_a_day_is_said() -> None:
    assert [night.dry for night in family(False, False, False)] == [False, True, True]


def test_what_was_said_is_done_on_the_way() -> None:
    assert [int(night.fresh_l) for night in family(False, False, False)] == [90, 34, 34]


def test_waste_grows_as_the_fresh_water_goes() -> None:
    nights = water_by_night(tanks(), TWO, away(3))
    assert [night.waste_l for night in nights] == [0, 13, 26]


def test_waste_is_emptied_where_it_can_be() -> None:
    nights = family(True, True)
    assert (nights[1].empty_waste, nights[1].waste_l) == (True, 0)


def test_a_full_waste_tank_without_a_dump_point_is_said() -> None:
    assert [night.full for night in family(False, False)] == [False, True]


def test_the_cassette_is_emptied_before_it_is_full() -> None:
    nights = water_by_night(tanks(), TWO, stops(None, None, None, None, None))
    assert [night.empty_cassette for night in nights] == [False, False, False, True, False]


def test_a_cassette_that_came_half_full_is_emptied_at_once() -> None:
    night = water_by_night(tanks(cassette_now_l=Decimal(10)), TWO, stops(True))[0]
    assert (night.empty_cassette, night.cassette_l) == (True, 0)


def test_nothing_to_empty_is_not_asked() -> None:
    night = water_by_night(tanks(), party(people=12), stops(True, False))[0]
    assert (night.empty_waste, night.empty_cassette) == (False, False)


def test_a_party_larger_than_the_tanks_still_has_a_plan() -> None:
    nights = water_by_night(tanks(), party(people=12, habit=Habit.SHOWERS), stops(None, None))
    assert all(night.dry and night.full for night in nights)


def test_days_to_the_next_place() -> None:
    assert days_to(stops(True, False, None, True), lambda stop: stop.water) == 2
    assert days_to(stops(True, False, False), lambda stop: stop.water) == 3


@settings(max_examples=40)
@given(THERE, st.integers(1, 8), st.sampled_from(Habit))
def test_levels_stay_between_empty_and_full(there: list[bool | None], people: int, habit: Habit) -> None:
    unit = tanks()
    for night in water_by_night(unit, party(people=people, habit=habit), stops(*there)):
        assert 0 <= night.fresh_l <= unit.fresh_l
        assert 0 <= night.waste_l <= unit.waste_l
        assert 0 <= night.cassette_l <= unit.cassette_l


@settings(max_examples=40)
@given(THERE, st.integers(1, 7))
def test_more_people_never_fill_less_often(there: list[bool | None], people: int) -> None:
    open_places = stops(*[None] * len(there))
    few, many = (water_by_night(tanks(), party(people=count), open_places) for count in (people, people + 1))
    assert sum(night.fill_l > 0 for night in few) <= sum(night.fill_l > 0 for night in many)


@settings(max_examples=40)
@given(st.integers(1, 5))
def test_where_everything_is_nothing_runs_out(people: int) -> None:
    nights = water_by_night(tanks(), party(people=people), stops(*[True] * 8))
    assert not any(night.dry or night.full for night in nights)
