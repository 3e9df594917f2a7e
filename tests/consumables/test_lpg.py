"""Gas in cylinders: which gas, how much, how many litres, when too full, how long."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from consumables import lpg
from shared.quantities import Unreadable, parse_quantity
from shared.units import Quantity, quantity, value_in

SCALE = quantity("0.1", "kg")
WARM = quantity(15, "degC")
HOB = lpg.GasLoad("Hob", Decimal(150), Decimal("0.5"), Decimal("0.1"))
FRIDGE = lpg.GasLoad("Refrigerator", Decimal(13), Decimal(24), not_on_mains=True)
HEATING = lpg.GasLoad("Heating", Decimal(200), Decimal(6), in_frost=True)


def kg(value: str) -> Quantity:
    return quantity(value, "kg")


def cylinder(*, net: str = "6", holds: str | None = None, serial: str = "LK-407-1") -> lpg.Cylinder:
    return lpg.Cylinder(serial, kg("5.9"), kg(net), holds=quantity(holds, "L") if holds else None)


def inside(gross: str, of: lpg.Cylinder | None = None) -> lpg.Content:
    return lpg.content(of or cylinder(), kg(gross), scale_half_width=SCALE)


@pytest.mark.parametrize(
    ("written", "propane"),
    [("propane", "1"), ("Butane", "0"), ("n-butane", "0"), ("60/40 by mass", "0.6"), ("50 / 50  by mass", "0.5")],
)
def test_a_gas_as_it_is_written(written: str, propane: str) -> None:
    assert lpg.gas_kind(written).propane == Decimal(propane)


def test_half_by_mole_is_less_than_half_by_mass() -> None:
    by_mole = lpg.gas_kind("50/50 by mole")
    assert by_mole.propane.quantize(Decimal("0.001")) == Decimal("0.431")
    assert by_mole.propane + by_mole.butane == 1


def test_half_and_half_must_say_of_what() -> None:
    with pytest.raises(lpg.GasUnclear) as refused:
        lpg.gas_kind("50/50")
    assert str(refused.value) == "50/50 can be by mass or by mole. Write 50/50 by mass, or 50/50 by mole."


@pytest.mark.parametrize("written", ["", "petrol", "60/60 by mass", "50-50 by mass", "50/50 by volume"])
def test_what_names_no_gas_is_refused(written: str) -> None:
    with pytest.raises(lpg.GasUnclear, match="is no gas known here"):
        lpg.gas_kind(written)


@pytest.mark.parametrize("percent", [-1, 101])
def test_shares_lie_between_nothing_and_all(percent: int) -> None:
    with pytest.raises(lpg.GasUnclear, match="is 0 to 100 %"):
        lpg.mixture(Decimal(percent), "mass")


@pytest.mark.parametrize("typed", ["5 gal", "1.5 gallons"])
def test_a_bare_gallon_of_gas_is_refused(typed: str) -> None:
    with pytest.raises(Unreadable, match="Write US gal or imp gal"):
        parse_quantity(typed, dimension="volume", default_unit="L")


def test_a_named_gallon_of_propane_has_a_mass() -> None:
    litres = parse_quantity("1 US gal", dimension="volume", default_unit="L")
    density = value_in(lpg.liquid_density(lpg.PROPANE, WARM), "kg/L")
    assert (litres * density).quantize(Decimal("0.01")) == Decimal("1.92")


def test_cold_gas_is_denser() -> None:
    at = [lpg.liquid_density(lpg.PROPANE, quantity(celsius, "degC")) for celsius in (-20, 0, 20, 40)]
    assert sorted(at, reverse=True) == at


@pytest.mark.parametrize("celsius", [-41, 51])
def test_a_density_outside_its_range_is_not_told(celsius: int) -> None:
    with pytest.raises(ValueError, match="is outside -40 to 50"):
        lpg.liquid_density(lpg.PROPANE, quantity(celsius, "degC"))


@given(st.decimals("0", "1", places=3), st.integers(-40, 50))
def test_a_mixture_lies_between_its_gases(propane: Decimal, celsius: int) -> None:
    at = quantity(celsius, "degC")
    mixed = lpg.liquid_density(lpg.GasKind("mixed", propane), at)
    assert lpg.liquid_density(lpg.PROPANE, at) <= mixed <= lpg.liquid_density(lpg.BUTANE, at)


@given(st.decimals("0.1", "30", places=1), st.integers(-40, 50))
def test_litres_and_back(kilograms: Decimal, celsius: int) -> None:
    at = quantity(celsius, "degC")
    litres = value_in(lpg.liquid_litres(quantity(kilograms, "kg"), lpg.BUTANE, at), "L")
    back = litres * value_in(lpg.liquid_density(lpg.BUTANE, at), "kg/L")
    assert back.quantize(Decimal("1e-9")) == kilograms


def test_gross_less_tare_is_what_is_in_it() -> None:
    held = inside("11.7")
    assert (value_in(held.mass, "kg"), value_in(held.half_width, "kg")) == (Decimal("5.8"), Decimal("0.15"))


def test_at_least_has_the_doubt_against_it() -> None:
    assert value_in(inside("11.7").at_least, "kg") == Decimal("5.65")
    assert value_in(inside("5.9").at_least, "kg") == 0


def test_a_little_under_the_tare_is_empty() -> None:
    assert value_in(inside("5.8").mass, "kg") == 0


def test_far_under_the_tare_is_another_cylinder() -> None:
    with pytest.raises(lpg.AnotherCylinder) as refused:
        inside("5.2")
    assert str(refused.value) == "5.2 kg is less than cylinder LK-407-1 weighs empty, 5.9 kg."


@given(st.decimals("0", "0.5", places=2), st.decimals("0", "0.5", places=2))
def test_a_worse_scale_never_lessens_the_doubt(one: Decimal, other: Decimal) -> None:
    better, worse = sorted((one, other))
    doubts = [lpg.content(cylinder(), kg("9"), scale_half_width=quantity(each, "kg")) for each in (better, worse)]
    assert doubts[0].half_width <= doubts[1].half_width
    assert doubts[0].standard <= doubts[1].standard


def test_the_limit_is_the_stamped_net_mass() -> None:
    assert value_in(lpg.fill_limit(cylinder()), "kg") == 6


def test_the_limit_is_four_fifths_of_a_small_vessel() -> None:
    limit = value_in(lpg.fill_limit(cylinder(holds="12")), "kg")
    assert limit.quantize(Decimal("0.01")) == Decimal("4.86")


def test_exactly_full_goes_out() -> None:
    assert lpg.overfilled(cylinder(), inside("11.9")) is None


def test_over_within_the_doubt_goes_out() -> None:
    assert lpg.overfilled(cylinder(), inside("12.05")) is None


def test_over_its_net_mass_beyond_doubt_stays() -> None:
    over = lpg.overfilled(cylinder(), inside("12.2"))
    assert over is not None
    assert (over.limit, value_in(over.found, "kg"), value_in(over.most, "kg")) == ("mass", Decimal("6.3"), 6)


def test_over_four_fifths_of_its_volume_stays() -> None:
    bottle = cylinder(net="11", holds="14")
    over = lpg.overfilled(bottle, inside("12.2", bottle))
    assert over is not None
    assert (over.limit, value_in(over.most, "L")) == ("volume", Decimal("11.2"))


def test_warm_gas_fills_more_of_its_vessel() -> None:
    bottle = cylinder(net="11", holds="14.7")
    held = inside("11.9", bottle)
    assert lpg.overfilled(bottle, held) is None
    assert lpg.overfilled(bottle, held, temperature=quantity(40, "degC")) is not None


def test_cold_gas_is_judged_as_if_it_were_warm() -> None:
    bottle = cylinder(net="11", holds="14")
    held = inside("12.2", bottle)
    assert lpg.overfilled(bottle, held, temperature=quantity(-30, "degC")) == lpg.overfilled(bottle, held)


def burnt(*loads: lpg.GasLoad, people: int = 2, frost: bool = False, on_mains: bool = False) -> Decimal:
    return value_in(lpg.burnt_in_a_day(loads, people=people, frost=frost, on_mains=on_mains), "g")


def test_a_day_takes_more_for_more_people() -> None:
    assert (burnt(HOB), burnt(HOB, people=4)) == (Decimal(105), Decimal(135))


def test_heating_burns_in_frost_only() -> None:
    assert (burnt(HEATING), burnt(HEATING, frost=True)) == (0, 1200)


def test_mains_spares_the_refrigerators_gas() -> None:
    assert (burnt(FRIDGE), burnt(FRIDGE, on_mains=True)) == (312, 0)


def test_nights_are_whole_and_downwards() -> None:
    held = [inside("11.7"), inside("7.0", cylinder(serial="LK-407-2"))]
    assert lpg.nights_left(held, quantity("0.5", "kg")) == lpg.NightsLeft(nights=13, at_least=13)
    assert lpg.nights_left(held, quantity("1.7", "kg")) == lpg.NightsLeft(nights=4, at_least=3)


def test_where_nothing_burns_no_nights_are_counted() -> None:
    assert lpg.nights_left([inside("11.7")], quantity(0, "kg")) is None
