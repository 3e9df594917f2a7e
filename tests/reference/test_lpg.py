"""Gas against CoolProp, run here: propane after Lemmon (2009), n-butane after Buecker and Wagner (2006), their mixture.

The product's own densities come from DIPPR equation 105, so neither is a copy of the other. Heating values against EN
437 (figures from memory) and a motor-caravan manual's hourly use; the fill limit against CSA B149.2 and NFPA 58.
"""

from decimal import Decimal
from typing import Any

import pytest
from CoolProp import CoolProp

from consumables import lpg
from consumables.lpg.burning import BUTANE_KWH_PER_KG, PROPANE_KWH_PER_KG
from consumables.lpg.kinds import BUTANE_KG_PER_KMOL, PROPANE_KG_PER_KMOL
from shared.units import quantity, value_in

pytestmark = pytest.mark.reference

CELSIUS = (-40, -25, -10, 0, 15, 25, 40, 50)
HALF = Decimal(50)
ENGINE = "HEOS::Propane[{}]&n-Butane[{}]"


def ours(kind: lpg.GasKind, celsius: int) -> float:
    """kg/m3"""
    return float(value_in(lpg.liquid_density(kind, quantity(celsius, "degC")), "kg/L")) * 1000


def saturated(fluid: str, celsius: int) -> Any:
    return CoolProp.PropsSI("D", "T", celsius + 273.15, "Q", 0, fluid)


@pytest.mark.source("CoolProp")
@pytest.mark.parametrize("celsius", CELSIUS)
@pytest.mark.parametrize(("kind", "fluid"), [(lpg.PROPANE, "Propane"), (lpg.BUTANE, "n-Butane")])
def test_density_of_the_saturated_liquid(kind: lpg.GasKind, fluid: str, celsius: int) -> None:
    assert ours(kind, celsius) == pytest.approx(saturated(fluid, celsius), rel=0.005)


MIXED_WITHIN = [(-10, 0.01), (0, 0.01), (25, 0.01), (40, 0.015)]


@pytest.mark.source("CoolProp")
@pytest.mark.parametrize(("celsius", "within"), MIXED_WITHIN)
def test_half_and_half_by_mole(celsius: int, within: float) -> None:
    found = ours(lpg.mixture(HALF, "mole"), celsius)
    assert found == pytest.approx(saturated(ENGINE.format(0.5, 0.5), celsius), rel=within)


@pytest.mark.source("CoolProp")
@pytest.mark.parametrize(("celsius", "within"), MIXED_WITHIN)
def test_half_and_half_by_mass(celsius: int, within: float) -> None:
    """Half by mass is 0.5686 propane by mole."""
    found = ours(lpg.mixture(HALF, "mass"), celsius)
    assert found == pytest.approx(saturated(ENGINE.format(0.5686, 0.4314), celsius), rel=within)


@pytest.mark.source("CoolProp")
@pytest.mark.parametrize(
    ("kind", "celsius", "density"),
    [(lpg.PROPANE, 0, 528.59), (lpg.PROPANE, 15, 507.50), (lpg.BUTANE, 0, 600.73), (lpg.BUTANE, 25, 572.83)],
)
def test_printed_densities(kind: lpg.GasKind, celsius: int, density: float) -> None:
    """The same figures as they were noted from CoolProp 8.0.0."""
    assert ours(kind, celsius) == pytest.approx(density, rel=0.005)


@pytest.mark.source("CoolProp")
@pytest.mark.parametrize(("ours", "fluid"), [(PROPANE_KG_PER_KMOL, "Propane"), (BUTANE_KG_PER_KMOL, "n-Butane")])
def test_molar_mass(ours: Decimal, fluid: str) -> None:
    assert float(ours) == pytest.approx(CoolProp.PropsSI("M", fluid) * 1000, rel=1e-4)


@pytest.mark.source("EN 437, from memory")
@pytest.mark.parametrize(("ours", "printed_mj"), [(PROPANE_KWH_PER_KG, 50.37), (BUTANE_KWH_PER_KG, 49.47)])
def test_gross_heating_value(ours: Decimal, printed_mj: float) -> None:
    """EN 437, figures from memory."""
    assert float(ours) * 3.6 == pytest.approx(printed_mj, rel=0.003)


@pytest.mark.source("A motor-caravan manual's hourly use, and heating values")
@pytest.mark.parametrize(
    ("kilowatts", "kind", "grams"), [("3.0", lpg.PROPANE, 215), ("3.0", lpg.BUTANE, 218), ("1.8", lpg.BUTANE, 131)]
)
def test_what_a_burner_takes(kilowatts: str, kind: lpg.GasKind, grams: int) -> None:
    """A two-burner stove of 2 x 1.5 kW; a motor-caravan manual gives 100 to 400 g/h for its cooker."""
    found = value_in(lpg.hourly(quantity(kilowatts, "kW"), kind), "g/h")
    assert float(found) == pytest.approx(grams, rel=0.02)
    assert 100 <= found <= 400


def cylinder(**said: str) -> lpg.Cylinder:
    holds = quantity(said["holds"], "L") if "holds" in said else None
    return lpg.Cylinder("A", quantity(said["tare"], "kg"), quantity(said["net"], "kg"), holds=holds)


@pytest.mark.source("Worked out by hand")
def test_content_by_weight() -> None:
    """Worked out by hand: tare 5.5 kg, gross 7.9 kg, net 4.5 kg hold 2.4 kg and take 2.1 kg more."""
    bottle = cylinder(tare="5.5", net="4.5")
    inside = lpg.content(bottle, quantity("7.9", "kg"), scale_half_width=quantity("0.05", "kg"))
    assert value_in(inside.mass, "kg") == Decimal("2.4")
    assert value_in(bottle.net - inside.mass, "kg") == Decimal("2.1")


@pytest.mark.source("JCGM 100:2008")
def test_uncertainty_of_a_weighing() -> None:
    """JCGM 100:2008, 4.3.7 and F.2.2.1: a display of 0.1 kg and a tare stamped to 0.05 kg give u = 0.0408 kg."""
    inside = lpg.content(cylinder(tare="5.5", net="4.5"), quantity(7, "kg"), scale_half_width=quantity("0.05", "kg"))
    assert float(value_in(inside.standard, "kg")) == pytest.approx(0.0408, abs=0.00005)


@pytest.mark.source("CSA B149.2, clause 6.4.2")
def test_four_fifths_is_42_percent_of_the_water_capacity() -> None:
    """CSA B149.2: propane up to 42 % of the water capacity by weight, or 80 % of the volume with a level gauge."""
    limit = value_in(lpg.fill_limit(cylinder(tare="9", net="99", holds="10")), "kg")
    assert float(limit) / 10 == pytest.approx(0.406, rel=0.005)
    assert float(limit) / 10 < 0.42


@pytest.mark.source("CoolProp")
def test_why_four_fifths() -> None:
    """CoolProp: filled to 80 % at 15 °C, propane is 90.5 % full at 50 °C and 97.5 % at 65 °C."""
    assert 0.8 * saturated("Propane", 15) / saturated("Propane", 50) == pytest.approx(0.905, abs=0.001)
    assert 0.8 * saturated("Propane", 15) / saturated("Propane", 65) == pytest.approx(0.975, abs=0.001)
    grown = value_in(lpg.liquid_density(lpg.PROPANE, quantity(15, "degC")), "kg/L") / value_in(
        lpg.liquid_density(lpg.PROPANE, quantity(50, "degC")), "kg/L"
    )
    assert float(grown) * 0.8 == pytest.approx(0.905, abs=0.005)
