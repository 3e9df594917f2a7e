"""The whole plan: gas, what holds of the customs, its basis and its cautions, and which way it moves."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from consumables.battery import Chemistry
from consumables.trip_plan import Power, Practice, TripPlan, UnitStores, Verdict, plan_trip
from consumables.trip_plan.gas import gas_by_night
from consumables.water import AUTHORISED, DRINKING, FROST, Habit
from tests.consumables.trips import ABSORBER, HEATING, HOB, TWO, away, battery, gas, party, stops, stores, tanks

LITHIUM = battery(chemistry=Chemistry.LITHIUM, capacity_ah=Decimal(200), charger_a=Decimal(30))
CUSTOMS = ("charge", "first", "second", "water")


def planned(*there: bool | None, who: Any = TWO, **said: Any) -> TripPlan:
    return plan_trip(stores(**said), who, stops(*there))


def custom(name: str, plan: TripPlan) -> Practice:
    return dict(zip(CUSTOMS, plan.practices, strict=True))[name]


def left(*kilograms: str, nights: int = 2, **said: Any) -> list[Decimal]:
    loads = said.pop("loads", (HOB,))
    found = gas_by_night(gas(*kilograms, loads=loads), TWO, away(nights, **said), [None] * nights)
    return [night.left_kg for night in found]


def test_gas_goes_night_by_night() -> None:
    assert left("6", "3") == [Decimal("8.895"), Decimal("8.790")]


def test_heating_in_frost_burns_most() -> None:
    assert left("6", loads=(HOB, HEATING), frost=True) == [Decimal("4.695"), Decimal("3.390")]


def test_gas_that_may_run_out_is_said_by_its_least() -> None:
    nights = gas_by_night(gas("0.3"), TWO, away(2), [None] * 2)
    assert [(night.left_kg, night.short) for night in nights] == [(Decimal("0.195"), False), (Decimal("0.090"), True)]


def test_no_gas_is_nothing_and_not_less() -> None:
    assert left("0.1", nights=3) == [0, 0, 0]


def test_on_mains_the_refrigerator_burns_no_gas() -> None:
    unit = stores(gas=gas("6", loads=(ABSORBER,)))
    plugged, alone = (plan_trip(unit, TWO, stops(there)).nights[0].gas for there in (True, False))
    assert plugged is not None
    assert alone is not None
    assert plugged.left_kg - alone.left_kg == Decimal("0.312")


def test_each_night_has_its_three_parts() -> None:
    night = planned(True, False).nights[1]
    assert night.stop.place == "Quay"
    assert None not in (night.power, night.water, night.gas)


@pytest.mark.parametrize("missing", ["battery", "tanks", "gas"])
def test_what_nobody_entered_is_left_out(missing: str) -> None:
    night = planned(False, **{missing: None}).nights[0]
    part = {"battery": night.power, "tanks": night.water, "gas": night.gas}
    assert part.pop(missing) is None
    assert None not in part.values()


def test_a_unit_of_which_nothing_is_known_has_a_bare_plan() -> None:
    plan = plan_trip(UnitStores(None, None, None), TWO, stops(None))
    assert (plan.practices, plan.basis) == ((), ())
    assert str(plan.cautions[0]).startswith("Advice only")


def test_a_trip_without_nights_has_none() -> None:
    assert plan_trip(stores(), TWO, []).nights == ()


@pytest.mark.parametrize(
    ("ampere_hours", "amperes", "verdict"), [(95, 10, Verdict.HOLDS), (100, 20, Verdict.LESS), (200, 10, Verdict.MORE)]
)
def test_whether_a_full_charge_takes_14_to_16_hours(ampere_hours: int, amperes: int, verdict: Verdict) -> None:
    unit = battery(capacity_ah=Decimal(ampere_hours), charger_a=Decimal(amperes))
    assert custom("charge", planned(False, battery=unit)).verdict == verdict


def test_lithium_charges_in_less() -> None:
    row = custom("charge", planned(False, battery=LITHIUM))
    assert row.verdict == Verdict.LESS
    assert str(row.why) == "From flat, 200 Ah on a charger of 30 A take about 7 h; from half full about 4 h."


def test_the_first_night_needs_mains_before_others_without() -> None:
    row = custom("first", planned(True, False, False, False))
    assert (row.verdict, str(row.why)) == (
        Verdict.HOLDS, "It starts with 97 % and would not last to the next mains.",
    )  # fmt: skip


def test_the_first_night_needs_mains_when_it_starts_half_full() -> None:
    row = custom("first", planned(None, battery=battery(percent=Decimal(85))))
    assert row.verdict == Verdict.HOLDS
    assert "would last, but it is not full" in str(row.why)


def test_the_first_night_can_do_without() -> None:
    assert custom("first", planned(False, battery=LITHIUM)).verdict == Verdict.LESS


@pytest.mark.parametrize(("ampere_hours", "verdict"), [(40, Verdict.MORE), (95, Verdict.HOLDS), (240, Verdict.LESS)])
def test_whether_every_second_day_holds(ampere_hours: int, verdict: Verdict) -> None:
    unit = battery(capacity_ah=Decimal(ampere_hours))
    assert custom("second", planned(False, battery=unit)).verdict == verdict


def test_sun_and_driving_can_carry_it_for_good() -> None:
    row = custom("second", planned(False, battery=battery(solar_w=Decimal(200))))
    assert str(row.why) == "A day takes 24 Ah of the 48 Ah to use; sun and driving bring it back."


@pytest.mark.parametrize(
    ("people", "habit", "verdict"),
    [(2, Habit.SPARING, Verdict.LESS), (4, Habit.USUAL, Verdict.HOLDS), (6, Habit.SHOWERS, Verdict.MORE)],
)
def test_whether_water_every_one_to_two_days_holds(people: int, habit: Habit, verdict: Verdict) -> None:
    row = custom("water", planned(False, who=party(people=people, habit=habit)))
    assert row.verdict == verdict


def test_why_says_the_figures_of_this_party() -> None:
    row = custom("water", planned(False, who=party(people=4, habit=Habit.USUAL)))
    assert str(row.why) == (
        "4 people use 56 L a day: the fresh tank lasts 1.6 days, the waste tank 1.7, the cassette 1.7."
    )


def test_without_a_charger_nothing_is_said_of_charging() -> None:
    plan = planned(False, battery=battery(charger_a=Decimal(0)))
    assert [str(row.custom) for row in plan.practices] == [
        "Then plug in about every second day.", "Take on water every one to two days.",
    ]  # fmt: skip


def test_the_basis_says_what_it_rests_on() -> None:
    assert [str(words) for words in planned(False).basis] == [
        "Water 9 L a person a day.",
        "Battery 95 Ah, 50 % of it to use, 24 Ah a day.",
        "Driving 1 h a day; no sun counted.",
        "Gas as weighed, less the doubt of scale and tare.",
    ]


def test_the_basis_counts_the_sun() -> None:
    said = str(planned(False, battery=battery(solar_w=Decimal(100))).basis[2])
    assert said == "Driving 1 h a day; 100 W of panel bring 16 Ah on a usual day."


def test_lead_is_warned_of_deep_discharge_and_lithium_is_not() -> None:
    lead, lithium = ([str(words) for words in planned(False, battery=one).cautions] for one in (battery(), LITHIUM))
    assert any("below 10.5 V it dies" in words for words in lead)
    assert not any("10.5 V" in words for words in lithium)


def test_water_is_cautioned() -> None:
    assert {AUTHORISED, DRINKING} <= set(planned(False).cautions)


def test_frost_is_warned_of_where_it_may_come() -> None:
    assert FROST not in planned(False).cautions
    assert FROST in plan_trip(stores(), TWO, away(1, frost=True)).cautions


def times_plugged(plan: TripPlan) -> int:
    return sum(night.power is not None and night.power.advice == Power.PLUG_IN for night in plan.nights)


@settings(max_examples=40)
@given(st.integers(1, 5), st.integers(1, 14))
def test_more_people_never_plug_in_less(people: int, nights: int) -> None:
    few, many = (planned(*[None] * nights, who=party(people=count)) for count in (people, people + 1))
    assert times_plugged(few) <= times_plugged(many)


@settings(max_examples=40)
@given(st.integers(80, 200), st.integers(1, 14))
def test_a_larger_battery_never_plugs_in_more(size: int, nights: int) -> None:
    small, large = (planned(*[None] * nights, battery=battery(capacity_ah=Decimal(ah))) for ah in (size, 2 * size))
    assert times_plugged(large) <= times_plugged(small)


@settings(max_examples=40)
@given(st.integers(0, 150), st.integers(1, 14))
def test_more_sun_never_plugs_in_more(watts: int, nights: int) -> None:
    less, more = (planned(*[None] * nights, battery=battery(solar_w=Decimal(w))) for w in (watts, watts + 100))
    assert times_plugged(more) <= times_plugged(less)


@settings(max_examples=40)
@given(st.integers(1, 13))
def test_a_longer_trip_begins_with_the_shorter_ones_levels(nights: int) -> None:
    shorter, longer = planned(*[False] * nights), planned(*[False] * (nights + 1))
    water = [
        [replace(night.water, fill_l=Decimal(0)) for night in plan.nights if night.water] for plan in (shorter, longer)
    ]
    assert water[1][:nights] == water[0]
    assert times_plugged(shorter) <= times_plugged(longer)


def test_a_party_of_none_has_no_plan() -> None:
    with pytest.raises(ValueError, match="uses no water"):
        planned(False, who=party(people=0))


def test_waste_left_at_the_start_counts() -> None:
    plan = planned(False, tanks=tanks(waste_now_l=Decimal(79)))
    assert plan.nights[0].water is not None
    assert plan.nights[0].water.full
