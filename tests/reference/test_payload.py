"""Payload: the allowance for belongings and the conventional load of EN 1646-2, the licence limit, water by mass."""

from decimal import Decimal

import pytest
from CoolProp.CoolProp import PropsSI

from consumables.mass import LICENCE_LIMIT, belongings_at_least, licence_note, passengers, water
from shared.units import quantity, value_in

pytestmark = [pytest.mark.reference, pytest.mark.source("EN 1646-2, as a maker's handbook has it")]


def kg(mass) -> Decimal:
    return value_in(mass, "kg")


@pytest.mark.parametrize(("persons", "metres", "least"), [(4, "5.99", "99.9"), (2, "6.00", "80"), (6, "7.40", "134")])
def test_belongings(persons: int, metres: str, least: str) -> None:
    assert kg(belongings_at_least(persons, quantity(metres, "m"))) == Decimal(least)


def test_passengers_and_belongings_of_four() -> None:
    """3 x 75 kg and 99.9 kg make 324.9 kg: the driver is in the running order."""
    assert kg(passengers(4).mass + belongings_at_least(4, quantity("5.99", "m"))) == Decimal("324.9")


@pytest.mark.source("Directive 2006/126/EC, art. 4(4)(b), from memory")
def test_licence_limit() -> None:
    assert kg(LICENCE_LIMIT) == 3500
    assert licence_note(quantity(3500, "kg")) is None
    assert "4250 kg" in str(licence_note(quantity(4250, "kg")))


@pytest.mark.source("CoolProp, water at 15 °C")
def test_a_hundred_litres_of_water_within_a_thousandth() -> None:
    density = PropsSI("D", "T", 288.15, "P", 101325, "Water")
    assert float(kg(water(quantity(100, "L")).mass)) == pytest.approx(density / 10, rel=1e-3)
