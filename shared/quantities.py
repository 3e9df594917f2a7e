"""What people type at a reading, and how a reading is written. Pure."""

import re
import unicodedata
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from shared.units import (
    DIMENSIONS,
    WITHOUT_COUNTRY,
    dimension_of,
    from_canonical,
    spelling,
    symbol_of,
    symbols,
    to_canonical,
)

NARROW_SPACE = "\N{NARROW NO-BREAK SPACE}"
SPACE = "\N{NO-BREAK SPACE}"
LARGEST = 10_000_000
LONGEST = 40

SAME_MARKS = str.maketrans({"−": "-", "⁄": "/", "’": "'", "٫": ".", "٬": ","})
WRITTEN = re.compile(r"(?P<sign>[+-]?) ?(?P<number>[\d.,][\d.,' ]*?) ?(?P<unit>[^\d.,' ].*)?")
FRACTION = re.compile(r"(\d{1,3}) ?/ ?(\d{1,3})")
NUMBER = re.compile(
    r"(?P<whole>\d+|\d{1,3}(?P<group>[ ',.])\d{3}(?:(?P=group)\d{3})*)?(?:(?P<mark>[.,])(?P<part>\d+))?"
)
THOUSANDS_OR_DECIMALS = re.compile(r"([1-9]\d{0,2})([.,])(\d{3})")


class Unreadable(ValueError):
    """What was typed is no value of the dimension asked for. The message is the sentence to show at the field."""


def parse_quantity(
    text: str, *, dimension: str, default_unit: str, full: Decimal | None = None, allow_negative: bool = False
) -> Decimal:
    """A typed quantity, exact, in the canonical unit of its dimension.

    default_unit is meant where no unit is typed. full is a full tank in the canonical unit: with it a fraction (5/8)
    or a percentage of it may be typed. Takes 47.5, 47,5, 41 206 and 41,206 (a distance); refuses a figure that may be
    thousands or decimals alike, and a gallon of no country. Raises Unreadable.
    """
    asked = _Asked(text.strip(), dimension, default_unit, Decimal(100) if dimension == "percent" else full)
    written = _tidied(text)
    if "/" in written:
        return _part_of_full(written, asked)
    match = WRITTEN.fullmatch(written) if len(written) <= LONGEST else None
    if match is None:
        raise asked.no_figure()
    symbol = _symbol(match["unit"] or default_unit, asked)
    number = _number(match["number"].strip(), asked)
    if match["sign"] == "-" and number and not allow_negative:
        raise asked.cannot("is below zero: nothing can be less than empty")
    value = number.copy_sign(-1) if match["sign"] == "-" and number else number
    return _value(value, symbol, asked)


def format_quantity(value: Decimal, unit: str, resolution: Decimal) -> str:
    """A value of the canonical unit, written in a unit of its dimension: "41 206 mi", "12.70 V", "−0.3 kg".

    resolution is the step of the instrument in that unit; no decimals are shown that it does not have.
    Raises TypeError for a float.
    """
    if not isinstance(value, Decimal):
        raise TypeError(f"A reading is a Decimal, not {type(value).__name__}.")
    decimals = min(int(resolution.normalize().as_tuple().exponent), 0)
    rounded = from_canonical(value, unit).quantize(Decimal(1).scaleb(decimals), rounding=ROUND_HALF_UP)
    sign = "−" if rounded < 0 else ""
    return f"{sign}{abs(rounded):,}".replace(",", NARROW_SPACE) + SPACE + unit


@dataclass(frozen=True, slots=True)
class _Asked:
    """What was typed and what was asked for: the makings of a sentence."""

    typed: str
    dimension: str
    default_unit: str
    full: Decimal | None

    def cannot(self, why: str) -> Unreadable:
        shown = self.typed if len(self.typed) <= LONGEST else f"{self.typed[:LONGEST]}…"
        return Unreadable(f"{shown} {why}. {self.can()}")

    def no_figure(self) -> Unreadable:
        return self.cannot("is no figure") if self.typed else Unreadable(f"Nothing is written here. {self.can()}")

    def can(self) -> str:
        dimension = DIMENSIONS[self.dimension]
        part = ", or as a part of full like 5/8" if self.full else ""
        return f"{dimension.noun.capitalize()} is written like {dimension.sample} {self.default_unit}{part}."


def _tidied(text: str) -> str:
    """ASCII digits and marks, single spaces: other scripts' digits, ½ and no-break spaces are read as well."""
    plain = unicodedata.normalize("NFKC", text).translate(SAME_MARKS)
    return " ".join("".join(str(unicodedata.decimal(letter, letter)) for letter in plain).split())


def _number(written: str, asked: _Asked) -> Decimal:
    either = THOUSANDS_OR_DECIMALS.fullmatch(written)
    if either and (either[2] == "," or asked.dimension == "distance"):
        return _thousands(either, asked)
    match = NUMBER.fullmatch(written)
    if match is None or match["group"] == match["mark"] is not None:
        raise asked.no_figure()
    whole = re.sub(r"\D", "", match["whole"] or "0")
    return Decimal(f"{whole}.{match['part'] or ''}")


def _thousands(either: re.Match[str], asked: _Asked) -> Decimal:
    """A figure that might have three decimals: with a comma, on an odometer, it has none."""
    whole, mark, rest = either.groups()
    if mark == "," and asked.dimension == "distance":
        return Decimal(whole + rest)
    raise asked.cannot(f"can be {whole}{rest} or {whole}.{rest}: write {whole}{rest} or {whole}.{rest}0")


def _symbol(written: str, asked: _Asked) -> str:
    if asked.dimension == "volume" and spelling(written) in WITHOUT_COUNTRY:
        raise Unreadable("A gallon is 3.785 L in the US and 4.546 L imperial. Write US gal or imp gal.")
    symbol = symbol_of(written)
    if symbol is None:
        raise asked.cannot(f"has no unit known here; {_known(asked)}")
    if dimension_of(symbol) != asked.dimension and not (symbol == "%" and asked.full):
        other = DIMENSIONS[dimension_of(symbol)].noun
        raise asked.cannot(f"cannot be {DIMENSIONS[asked.dimension].noun}: {symbol} is {other}; {_known(asked)}")
    return symbol


def _known(asked: _Asked) -> str:
    *most, last = symbols(asked.dimension)
    return f"known are {', '.join(most)} and {last}" if most else f"known is {last}"


def _value(number: Decimal, symbol: str, asked: _Asked) -> Decimal:
    if symbol == "%" and asked.full and asked.dimension != "percent":
        return asked.full * number / 100
    value = to_canonical(number, symbol)
    if abs(value) > LARGEST:
        raise asked.cannot("is more than any instrument shows")
    return value


def _part_of_full(written: str, asked: _Asked) -> Decimal:
    """5/8 of a full tank. Raises Unreadable where nothing says what full is."""
    fraction = FRACTION.fullmatch(written)
    if asked.full is None or fraction is None or int(fraction[2]) == 0:
        raise asked.no_figure()
    part, whole = int(fraction[1]), int(fraction[2])
    if part > whole:
        raise asked.cannot("is more than full")
    return asked.full * part / whole
