"""Tread limits against the rules of countries, pressures against the definition of the pound-force on a square inch."""

from decimal import Decimal

import pytest

from consumables.tyres import Axle, impossible_pressure, pressure_in_all, tread_limit
from shared.units import quantity, value_in

pytestmark = pytest.mark.reference


@pytest.mark.parametrize(
    ("country", "max_kg", "axle", "least"),
    [
        pytest.param(
            "GB", 3500, "front", "1.6", marks=pytest.mark.source("C&U Regs 1986 reg. 27, as the police tell it")
        ),
        pytest.param(
            "GB", 4250, "rear", "1.0", marks=pytest.mark.source("C&U Regs 1986 reg. 27, as the police tell it")
        ),
        pytest.param("NZ", 3500, "front", "1.5", marks=pytest.mark.source("New Zealand transport agency")),
        pytest.param("US", 5000, "front", "3.2", marks=pytest.mark.source("49 CFR 393.75")),
        pytest.param("US", 5000, "rear", "1.6", marks=pytest.mark.source("49 CFR 393.75")),
        pytest.param("DE", 3500, "front", "1.6", marks=pytest.mark.source("Directive 89/459/EEC, from memory")),
        pytest.param("CA", 3500, "front", "1.6", marks=pytest.mark.source("National Safety Code 11, from memory")),
    ],
)
def test_tread_limit(country: str, max_kg: int, axle: Axle, least: str) -> None:
    limit = tread_limit(country, quantity(max_kg, "kg"), axle)
    assert limit is not None
    assert value_in(limit.least, "mm") == Decimal(least)


@pytest.mark.source("International yard and pound agreement 1959; SI")
@pytest.mark.parametrize(
    ("psi", "kpa", "bar"), [("32", "221", "2.21"), ("36", "248", "2.48"), ("55", "379", "3.79"), ("80", "552", "5.52")]
)
def test_one_pressure_in_three_units(psi: str, kpa: str, bar: str) -> None:
    found = pressure_in_all(quantity(psi, "psi"))
    assert (found.kpa, found.bar, found.psi) == (f"{kpa} kPa", f"{bar} bar", f"{psi} psi")


@pytest.mark.source("Common practice of the trade, no source")
def test_fifty_five_bar_is_fifty_five_psi() -> None:
    assert "55 psi" in str(impossible_pressure(quantity(55, "bar")))
    assert "379 kPa" in str(impossible_pressure(quantity(379, "bar")))
    assert impossible_pressure(quantity("5.5", "bar")) is None
