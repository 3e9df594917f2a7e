"""How much gas burners, refrigerator and heating take, and how many nights what is left lasts."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from consumables.lpg.cylinder import Content
from consumables.lpg.kinds import GasKind
from shared.units import Quantity, quantity, value_in

# Gross heating values from formation enthalpies; EN 437 prints 13.99 and 13.74. Burners are rated on the gross value.
PROPANE_KWH_PER_KG = Decimal("13.98")
BUTANE_KWH_PER_KG = Decimal("13.75")


@dataclass(frozen=True, slots=True)
class GasLoad:
    """What burns gas. `grams_an_hour` while on; on for `hours` a day and `hours_each` more for every person.

    `in_frost` burns on cold nights only; `not_on_mains` is off where mains does its work (a refrigerator).
    """

    name: str
    grams_an_hour: Decimal
    hours: Decimal
    hours_each: Decimal = Decimal(0)
    in_frost: bool = False
    not_on_mains: bool = False


@dataclass(frozen=True, slots=True)
class NightsLeft:
    """`nights` from the mass as weighed; `at_least` with all doubt of the scale against it. Both whole nights, down."""

    nights: int
    at_least: int


def hourly(power: Quantity, kind: GasKind) -> Quantity:
    """What a burner of this rated heat input (gross) takes, g/h: 3 kW take 215 g/h of propane, 218 of butane.

    Error: 2 %, as marked ratings are. A burner turned down takes a third to a half of it.
    """
    per_kg = kind.propane * PROPANE_KWH_PER_KG + kind.butane * BUTANE_KWH_PER_KG
    return quantity(value_in(power, "kW") / per_kg * 1000, "g/h")


def burnt_in_a_day(loads: Iterable[GasLoad], *, people: int, frost: bool, on_mains: bool) -> Quantity:
    """What all of them take in a day and its night, kg. Habits differ: half as much again is no surprise."""
    on = [load for load in loads if (frost or not load.in_frost) and not (on_mains and load.not_on_mains)]
    grams = sum((load.grams_an_hour * (load.hours + people * load.hours_each) for load in on), Decimal(0))
    return quantity(grams / 1000, "kg")


def nights_left(inside: Iterable[Content], a_day: Quantity) -> NightsLeft | None:
    """How many whole nights these cylinders last together; None where nothing burns.

    Butane stops coming out of the cylinder near 0 °C, propane far below: what is left then lasts, but does not burn.
    """
    kg_a_day = value_in(a_day, "kg")
    if kg_a_day <= 0:
        return None
    contents = list(inside)
    held = sum((value_in(each.mass, "kg") for each in contents), Decimal(0))
    least = sum((value_in(each.at_least, "kg") for each in contents), Decimal(0))
    return NightsLeft(int(held / kg_a_day), int(least / kg_a_day))
