"""Fuel: volume at 15 °C against the tables of ASTM D1250, and densities against their standards."""

from decimal import Decimal

import pytest

from consumables.fuel import DENSITY_15, mass_of, volume_at_15
from shared.units import quantity, value_in

pytestmark = [pytest.mark.reference, pytest.mark.source("ASTM D1250-80, table 54B (API MPMS 11.1)")]


def at(volume: str, celsius: str, density: float) -> float:
    return float(value_in(volume_at_15(quantity(volume, "L"), quantity(celsius, "degC"), "diesel", density), "L"))


@pytest.mark.parametrize(("celsius", "factor"), [("0", 1.01261), ("15", 1.0), ("20", 0.99578), ("30", 0.98730)])
def test_factor_for_diesel_of_840(celsius: str, factor: float) -> None:
    assert at("1", celsius, 840.0) == pytest.approx(factor, abs=2e-5)


def test_sixty_litres_dispensed_warm() -> None:
    assert at("60", "30", 840.0) == pytest.approx(59.24, abs=0.01)


@pytest.mark.source("EN 590")
def test_diesel_lies_in_the_standard() -> None:
    assert 820 <= DENSITY_15["diesel"] <= 845


@pytest.mark.source("ISO 22241-1")
def test_exhaust_fluid_at_twenty_degrees_lies_in_the_standard() -> None:
    """1087.0 to 1093.0 kg/m3 at 20 °C; the expansion to 15 °C is from memory."""
    of_15 = value_in(volume_at_15(quantity(1, "m**3"), quantity(20, "degC"), "exhaust_fluid"), "m**3")
    assert Decimal(1087) <= of_15 * Decimal(DENSITY_15["exhaust_fluid"]) <= Decimal(1093)


@pytest.mark.source("EN 590")
def test_mass_of_a_full_tank() -> None:
    mass = value_in(mass_of(quantity(90, "L"), "diesel"), "kg")
    assert 90 * Decimal("0.820") <= mass <= 90 * Decimal("0.845")
