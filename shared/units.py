"""The units people write, and their exact factors. Pure.

Each dimension has one canonical unit, in which values are stored: litre, kilogram, kilometre, volt, ampere-hour,
percent, millimetre, bar.
"""

import re
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import TypeAlias

import pint

Quantity: TypeAlias = pint.Quantity[Decimal]


@dataclass(frozen=True, slots=True)
class Dimension:
    """noun as in "cannot be a volume"; sample is a telling figure in the canonical unit."""

    canonical: str
    noun: str
    sample: str


DIMENSIONS = {
    "volume": Dimension("L", "a volume", "47.5"),
    "mass": Dimension("kg", "a mass", "7.9"),
    "distance": Dimension("km", "a distance", "41206"),
    "voltage": Dimension("V", "a voltage", "12.7"),
    "charge": Dimension("Ah", "a charge", "95"),
    "percent": Dimension("%", "a percentage", "62"),
    "length": Dimension("mm", "a length", "4.5"),
    "pressure": Dimension("bar", "a pressure", "3.8"),
}

# symbol: dimension, name in pint, other spellings
UNITS = {
    "L": ("volume", "liter", "litre litres liter liters ltr"),
    "mL": ("volume", "milliliter", "millilitre millilitres milliliter milliliters"),
    "US gal": ("volume", "US_liquid_gallon", "gal us|us gallon|us gallons|gallons us"),
    "imp gal": ("volume", "imperial_gallon", "imperial gallon|imperial gallons|uk gal|uk gallon|uk gallons|gal imp"),
    "kg": ("mass", "kilogram", "kgs kilo kilos kilogram kilograms"),
    "g": ("mass", "gram", "gram grams"),
    "lb": ("mass", "pound", "lbs pound pounds"),
    "km": ("distance", "kilometer", "kms kilometre kilometres kilometer kilometers"),
    "mi": ("distance", "mile", "mile miles"),
    "V": ("voltage", "volt", "volt volts"),
    "mV": ("voltage", "millivolt", "millivolt millivolts"),
    "Ah": ("charge", "ampere_hour", "a h|amp hour|amp hours|ampere hour|ampere hours"),
    "%": ("percent", "percent", "percent pct"),
    "mm": ("length", "millimeter", "millimetre millimetres millimeter millimeters"),
    "cm": ("length", "centimeter", "centimetre centimetres centimeter centimeters"),
    "m": ("length", "meter", "metre metres meter meters"),
    "in": ("length", "inch", 'inch inches "'),
    "bar": ("pressure", "bar", "bars"),
    "kPa": ("pressure", "kilopascal", "kilopascal kilopascals"),
    "psi": ("pressure", "psi", ""),
}
WITHOUT_COUNTRY = {"gal", "gals", "gallon", "gallons"}


def dimension_of(symbol: str) -> str:
    return UNITS[symbol][0]


def symbols(dimension: str) -> list[str]:
    """The units of a dimension, the canonical one first."""
    return [symbol for symbol in UNITS if dimension_of(symbol) == dimension]


def symbol_of(written: str) -> str | None:
    """The symbol of a unit as people write it: "Litres", "gal (US)", "U.S. gal"; None when it is not known."""
    return _spellings().get(spelling(written))


def spelling(written: str) -> str:
    """A written unit without capitals, points, brackets and doubled spaces."""
    return " ".join(re.sub(r"[.()]", " ", re.sub(r"\b([a-z])\.(?=[a-z]\b)", r"\1", written.lower())).split())


def to_canonical(value: Decimal, symbol: str) -> Decimal:
    """A value in the canonical unit of its dimension: 1 US gal is 3.785411784 L."""
    return value if _is_canonical(symbol) else value * _factor(symbol)


def from_canonical(value: Decimal, symbol: str) -> Decimal:
    return value if _is_canonical(symbol) else value / _factor(symbol)


def quantity(value: Decimal | int | str, unit: str) -> Quantity:
    """An exact quantity. `unit` is a symbol of UNITS or a name pint knows ("degC", "h", "kWh/kg"), written in code.

    Raises TypeError for a float.
    """
    if isinstance(value, float):
        raise TypeError("A quantity is made of a Decimal, not a float.")
    return _registry().Quantity(Decimal(value), UNITS[unit][1] if unit in UNITS else unit)


def value_in(given: Quantity, unit: str) -> Decimal:
    """The figure of a quantity in a unit of its dimension. Raises pint.DimensionalityError for another dimension."""
    value: Decimal = given.to(UNITS[unit][1] if unit in UNITS else unit).magnitude
    return value


def _is_canonical(symbol: str) -> bool:
    return DIMENSIONS[dimension_of(symbol)].canonical == symbol


@cache
def _factor(symbol: str) -> Decimal:
    """Canonical units in one unit, by pint's definitions in decimal arithmetic (as floats they are not exact)."""
    dimension, name, _ = UNITS[symbol]
    canonical = UNITS[DIMENSIONS[dimension].canonical][1]
    factor: Decimal = _registry().Quantity(Decimal(1), name).to(canonical).magnitude
    return factor.normalize()


@cache
def _registry() -> pint.UnitRegistry[Decimal]:
    """Made on first use: it takes a third of a second. Only names from UNITS reach it, never what was typed,
    since pint would evaluate that as an expression."""
    return pint.UnitRegistry(non_int_type=Decimal)


@cache
def _spellings() -> dict[str, str]:
    index = {symbol.lower(): symbol for symbol in UNITS}
    for symbol, (_, _, others) in UNITS.items():
        index |= dict.fromkeys(others.split("|" if "|" in others else None), symbol)
    return index
