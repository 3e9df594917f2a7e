"""A cylinder on the scale: gross less tare is what is in it, with the doubt of both; and the two limits of filling."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from consumables.lpg.density import liquid_density, liquid_litres
from consumables.lpg.kinds import PROPANE, GasKind
from consumables.said import say as _
from shared.units import Quantity, quantity, value_in

# Liquid takes up at most this share of the vessel at 15 °C: propane filled so is 97 % full at 65 °C, liquid-full at 69.
MOST_LIQUID = Decimal("0.80")
FILLED_AT = quantity(15, "degC")
TARE_HALF_WIDTH = quantity("0.05", "kg")
ROOT_OF_3 = Decimal(3).sqrt()


@dataclass(frozen=True, slots=True)
class Cylinder:
    """As stamped on it. `serial` tells it from others; `holds` is its water capacity, where that is stamped."""

    serial: str
    tare: Quantity
    net: Quantity
    kind: GasKind = PROPANE
    holds: Quantity | None = None
    tare_half_width: Quantity = TARE_HALF_WIDTH


@dataclass(frozen=True, slots=True)
class Content:
    """`half_width` is the plain rule of the counter, both doubts added; `standard` the standard uncertainty."""

    mass: Quantity
    half_width: Quantity
    standard: Quantity

    @property
    def at_least(self) -> Quantity:
        return quantity(max(value_in(self.mass - self.half_width, "kg"), Decimal(0)), "kg")


@dataclass(frozen=True, slots=True)
class Overfilled:
    """Why a cylinder must not go out: more than its stamped net mass, or more liquid than the vessel may hold."""

    limit: Literal["mass", "volume"]
    found: Quantity
    most: Quantity


class AnotherCylinder(ValueError):
    """It weighs less than this cylinder does empty. Its one argument is the sentence, as Said."""


def content(cylinder: Cylinder, gross: Quantity, *, scale_half_width: Quantity) -> Content:
    """What is in it: gross less tare, 0 kg or more. `scale_half_width` is how far the scale may be off, each way.

    Standard uncertainty by JCGM 100:2008, 4.3.7: both doubts rectangular, each a half-width over the root of 3.
    Raises AnotherCylinder for a gross mass below the tare by more than both doubts.
    """
    tare, weighed = value_in(cylinder.tare, "kg"), value_in(gross, "kg")
    scale, stamp = value_in(scale_half_width, "kg"), value_in(cylinder.tare_half_width, "kg")
    if weighed < tare - scale - stamp:
        says = {"gross": _plain(weighed), "serial": cylinder.serial, "tare": _plain(tare)}
        raise AnotherCylinder(_("%(gross)s kg is less than cylinder %(serial)s weighs empty, %(tare)s kg.", **says))
    standard = (scale**2 + stamp**2).sqrt() / ROOT_OF_3
    inside = max(weighed - tare, Decimal(0))
    return Content(quantity(inside, "kg"), quantity(scale + stamp, "kg"), quantity(standard, "kg"))


def _plain(kilograms: Decimal) -> str:
    return f"{kilograms.normalize():f}"


def fill_limit(cylinder: Cylinder) -> Quantity:
    """The most that may be in it, kg: its net mass, or 80 % of its volume as liquid of 15 °C if that is less.

    80 % is the stop of refillable vessels (CSA B149.2, NFPA 58). Never a target: a filler stops at the smaller.
    """
    if cylinder.holds is None:
        return cylinder.net
    by_volume = MOST_LIQUID * value_in(cylinder.holds, "L") * value_in(liquid_density(cylinder.kind, FILLED_AT), "kg/L")
    return quantity(min(by_volume, value_in(cylinder.net, "kg")), "kg")


def overfilled(cylinder: Cylinder, inside: Content, *, temperature: Quantity = FILLED_AT) -> Overfilled | None:
    """Whether it is too full beyond doubt, by mass or, at this temperature, by volume; None when it is not.

    Gas colder than 15 °C is judged at 15 °C: it will be warmer again. Beyond doubt, because a cylinder filled to just
    its net mass reads a little over on every second scale. Range as liquid_density().
    """
    least = inside.at_least
    if value_in(least, "kg") > value_in(cylinder.net, "kg"):
        return Overfilled("mass", inside.mass, cylinder.net)
    if cylinder.holds is None:
        return None
    at = quantity(max(value_in(temperature, "degC"), value_in(FILLED_AT, "degC")), "degC")
    most = MOST_LIQUID * value_in(cylinder.holds, "L")
    if value_in(liquid_litres(least, cylinder.kind, at), "L") > most:
        return Overfilled("volume", liquid_litres(inside.mass, cylinder.kind, at), quantity(most, "L"))
    return None
