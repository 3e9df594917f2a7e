"""Water against the Sphere Handbook (2011), WHO's guidance on quantity (Howard and Bartram) and a rescue board."""

from decimal import Decimal

import pytest
from CoolProp import CoolProp

from consumables.water import DRUNK, LITRES, Habit, daily, lasts
from handover.cabcard.loading import WATER
from shared.units import quantity, value_in

pytestmark = pytest.mark.reference

SPHERE_LOW, SPHERE_HIGH = Decimal("7.5"), Decimal(15)
WHO_LEAST = Decimal(20)


@pytest.mark.source("Sphere Handbook 2011")
def test_sparing_and_usual_lie_within_sphere() -> None:
    """Sphere: 7.5 to 15 L a person a day cover drinking, cooking and basic hygiene."""
    assert SPHERE_LOW <= LITRES[Habit.SPARING] < LITRES[Habit.USUAL] <= SPHERE_HIGH


@pytest.mark.source("WHO, quantity of water (Howard and Bartram)")
def test_showers_lie_above_the_least_of_who() -> None:
    """WHO: about 20 L is the least for longer; 50 to 100 L meet most needs."""
    assert WHO_LEAST <= LITRES[Habit.SHOWERS] <= 50


@pytest.mark.source("Sphere Handbook 2011", "A rescue board on drinking water")
def test_what_is_drunk_and_eaten() -> None:
    """Sphere: 2.5 to 3 L; a rescue board: 28 to 35 mL a kilogram of body."""
    assert Decimal("2.5") <= DRUNK <= 3
    assert Decimal("0.028") * 75 <= DRUNK <= Decimal("0.035") * 75


@pytest.mark.source("Sphere Handbook 2011")
@pytest.mark.parametrize(("people", "habit", "holds"), [(4, Habit.USUAL, True), (2, Habit.SPARING, False)])
def test_when_every_one_to_two_days_holds(people: int, habit: Habit, holds: bool) -> None:
    """100 L: for four at the upper end of Sphere it does, for a frugal two it lasts longer."""
    tank = quantity(100, "L")
    last = lasts(fresh_tank=tank, waste_tank=tank, cassette=quantity(18, "L"), used=daily(people, habit))
    assert (last.least <= 2) is holds


@pytest.mark.source("CoolProp")
def test_a_litre_weighs_a_kilogram() -> None:
    """CoolProp: 999.1 kg/m3 at 15 °C, 997.0 at 25 °C, both at sea level: 0.3 % under what is reckoned with."""
    for celsius in (15, 25):
        kilograms = CoolProp.PropsSI("D", "T", celsius + 273.15, "P", 101_325, "Water") / 1000
        assert float(value_in(WATER, "kg/L")) == pytest.approx(kilograms, rel=0.003)
