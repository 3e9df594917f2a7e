"""Payload by the plate: what is left, the axles, and what is not known."""

from dataclasses import replace

import pytest

from consumables.mass import Axles, Load, Plate, passengers, payload, water
from consumables.said import say
from shared.units import quantity, value_in
from tests.consumables.made import D


def kg(mass: object) -> D:
    return value_in(mass, "kg")  # type: ignore[arg-type]


def load(name: str, mass: str, *, included: str = "0", behind: str | None = None) -> Load:
    place = quantity(behind, "m") if behind else None
    return Load(say(name), quantity(mass, "kg"), quantity(included, "kg"), place)


AXLES = Axles(
    quantity(4, "m"), quantity(1850, "kg"), quantity(2000, "kg"), quantity(1400, "kg"), quantity(1490, "kg")
)  # fmt: skip
PLATE = Plate(quantity(3500, "kg"), quantity(2890, "kg"), quantity("5.99", "m"))


def test_what_is_left_for_four() -> None:
    """3500 - 2890 - 3 x 75 - 90 of water - 12 of gas = 283 kg; 99.9 kg are kept for belongings."""
    found = payload(PLATE, [passengers(4), water(quantity(90, "L")), load("Gas", "12")], persons=4)
    assert kg(found.left) == 283
    assert kg(found.least) == D("99.9")
    assert (found.is_over, found.is_below_least) == (False, False)


def test_what_the_running_order_holds_already_is_not_counted_twice() -> None:
    found = payload(PLATE, [load("Diesel", "75.2", included="67.7")], persons=1)
    assert kg(found.left) == D("602.5")


def test_over_the_plate() -> None:
    found = payload(PLATE, [load("Bricks", "700")], persons=1)
    assert found.is_over
    assert kg(found.left) == -90


def test_below_what_the_standard_keeps() -> None:
    found = payload(PLATE, [load("Equipment", "520")], persons=4)
    assert (found.is_over, found.is_below_least) == (False, True)


def test_it_says_what_it_does_not_know() -> None:
    words = " ".join(map(str, payload(PLATE, [], persons=1).unknown))
    assert "axle" in words
    assert "truly weighs" in words
    assert "weighbridge" in str(payload(PLATE, [], persons=1).advice)


def test_axles_by_their_levers() -> None:
    """100 kg a metre behind the rear axle of a 4 m wheelbase: 125 on it, 25 lifted off the front."""
    found = payload(replace(PLATE, axles=AXLES), [load("Bicycles", "100", behind="5")], persons=1)
    assert found.axles is not None
    assert (kg(found.axles.front), kg(found.axles.rear)) == (475, 385)


def test_one_axle_over_is_over() -> None:
    found = payload(replace(PLATE, axles=AXLES), [load("Bicycles", "420", behind="5")], persons=1)
    assert kg(found.left) > 0
    assert found.is_over


def test_a_load_of_no_place_is_told() -> None:
    found = payload(replace(PLATE, axles=AXLES), [load("Luggage", "80")], persons=1)
    assert "Luggage" in str(found.unknown[-1])


def test_nobody_drives() -> None:
    with pytest.raises(ValueError, match="Somebody drives"):
        payload(PLATE, [], persons=0)
    with pytest.raises(ValueError, match="Somebody drives"):
        passengers(0)
