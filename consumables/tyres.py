"""Tyres: tread against the law's limit where the branch is, and pressure, cold, in three units. Pure.

Limits are the law's least, not advice: most people in the trade change at 3 mm. The handbook, the plate on the door
pillar and the tyre trade come first.
"""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal

from consumables.said import Said
from consumables.said import say as _
from shared.units import Quantity, quantity, value_in

Axle = Literal["front", "rear"]
TreadState = Literal["fails", "cannot_tell", "worn", "good", "no_limit"]

# Advice of the New Zealand transport agency and common practice of the trade.
CHANGE_AT = quantity(3, "mm")
DEPTH_GAUGE = quantity("0.2", "mm")
# No camper's tyre holds more: the figure is in another unit.
MOST_BAR = Decimal(10)
PRESSURE_GAUGE = quantity("0.1", "bar")


@dataclass(frozen=True, slots=True)
class TreadLimit:
    """The law's least depth for units up to a maximum mass (None: of any mass), on an axle or both."""

    country: str
    up_to: "Quantity | None"
    least: Quantity
    source: str
    axle: Axle | None = None


def _limit(country: str, up_to: int | None, millimetres: str, source: str, axle: Axle | None = None) -> TreadLimit:
    return TreadLimit(country, quantity(up_to, "kg") if up_to else None, quantity(millimetres, "mm"), source, axle)


# By country, lightest first: the first that fits counts.
TREAD_LIMITS = (
    _limit("GB", 3500, "1.6", "Road Vehicles (Construction and Use) Regulations 1986, reg. 27"),
    _limit("GB", None, "1.0", "Road Vehicles (Construction and Use) Regulations 1986, reg. 27"),
    *(_limit(state, 3500, "1.6", "Directive 89/459/EEC, from memory")
      for state in ("AT", "BE", "DE", "DK", "ES", "FI", "FR", "IE", "IT", "NL", "PT", "SE")),
    _limit("NO", 3500, "1.6", "Directive 89/459/EEC, taken over, from memory"),
    _limit("IS", 3500, "1.6", "Directive 89/459/EEC, taken over, from memory"),
    _limit("NZ", None, "1.5", "Land Transport Rule: Tyres and Wheels, as told by the transport agency"),
    _limit("AU", 4500, "1.5", "Light vehicle standards, from memory"),
    _limit("CA", 4500, "1.6", "Provincial inspection rules after National Safety Code 11, from memory"),
    _limit("CA", None, "3.2", "Provincial inspection rules after National Safety Code 11, from memory", "front"),
    _limit("CA", None, "1.6", "Provincial inspection rules after National Safety Code 11, from memory", "rear"),
    _limit("US", 4536, "1.6", "2/32 in by the states' rules, from memory"),
    _limit("US", None, "3.2", "4/32 in, 49 CFR 393.75(b)", "front"),
    _limit("US", None, "1.6", "2/32 in, 49 CFR 393.75(c)", "rear"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class TreadCheck:
    """state; the limit it was held to, None where none is kept; and a sentence with the basis."""

    state: TreadState
    limit: TreadLimit | None
    sentence: Said

    @property
    def stops(self) -> bool:
        """Not handed over: below the limit, or so near that the gauge cannot tell."""
        return self.state in {"fails", "cannot_tell"}


def tread_limit(country: str, max_mass: Quantity, axle: Axle) -> TreadLimit | None:
    """The law's least for a country (ISO 3166, two letters), the plate's mass and an axle; None if none is kept."""
    return next(
        (each for each in TREAD_LIMITS
         if each.country == country and each.axle in {None, axle} and (each.up_to is None or max_mass <= each.up_to)),
        None,
    )  # fmt: skip


def tread_check(
    depth: Quantity, limit: TreadLimit | None, *, half_width: Quantity = DEPTH_GAUGE
) -> TreadCheck:  # fmt: skip
    """The lowest of three places of a tyre, 0 mm or more, against a limit. Raises ValueError below zero."""
    if depth < quantity(0, "mm"):
        raise ValueError("A tread is 0 mm deep or more.")
    if limit is None:
        return TreadCheck("no_limit", None, _("No legal limit is kept for this country: ask a tyre trade."))
    state = _tread_state(depth, limit, half_width)
    return TreadCheck(state, limit, _tread_sentence(state, depth, limit))


def _tread_state(depth: Quantity, limit: TreadLimit, half_width: Quantity) -> TreadState:
    if depth < limit.least:
        return "fails"
    if depth - half_width < limit.least:
        return "cannot_tell"
    return "worn" if depth < CHANGE_AT else "good"


def _tread_sentence(state: TreadState, depth: Quantity, limit: TreadLimit) -> Said:
    figures = {"depth": _mm(depth), "least": _mm(limit.least), "source": limit.source}
    if state == "fails":
        return _("%(depth)s mm is below the legal %(least)s mm: this tyre must be changed. %(source)s", **figures)
    if state == "cannot_tell":
        return _("%(depth)s mm is so near the legal %(least)s mm that the gauge cannot tell. %(source)s", **figures)
    if state == "worn":
        return _("%(depth)s mm is legal (%(least)s mm); below 3 mm a tyre is better changed. %(source)s", **figures)
    return _("%(depth)s mm; the law's least is %(least)s mm. %(source)s", **figures)


def _mm(depth: Quantity) -> str:
    return f"{value_in(depth, 'mm').quantize(Decimal('0.1'), ROUND_HALF_UP)}"


@dataclass(frozen=True, slots=True)
class Pressure:
    """One pressure as it is written on gauges: "379 kPa", "3.79 bar", "55 psi"."""

    kpa: str
    bar: str
    psi: str


def pressure_in_all(pressure: Quantity) -> Pressure:
    """A gauge pressure, zero or more, rounded half up: kPa and psi to whole ones, bar to hundredths."""
    kpa, psi = (value_in(pressure, unit).quantize(Decimal(1), ROUND_HALF_UP) for unit in ("kPa", "psi"))
    bar = value_in(pressure, "bar").quantize(Decimal("0.01"), ROUND_HALF_UP)
    return Pressure(f"{kpa} kPa", f"{bar} bar", f"{psi} psi")


def impossible_pressure(pressure: Quantity) -> Said | None:
    """Why this is no pressure of a tyre, and what was likely meant; None when it can be."""
    bar = value_in(pressure, "bar")
    if 0 <= bar <= MOST_BAR:
        return None
    if bar < 0:
        return _("A tyre has 0 bar or more.")
    likely = "psi" if value_in(quantity(bar, "psi"), "bar") <= MOST_BAR else "kPa"
    return _(
        "%(bar)s bar is no pressure of a tyre here. Was it %(bar)s %(unit)s?", bar=f"{bar.normalize():f}", unit=likely
    )


def pressure_check(pressure: Quantity, plate: Quantity, *, is_cold: bool) -> Said | None:
    """A reading against the pillar's plate; None within the gauge's 0.1 bar. Both are for a cold tyre.

    Basis: the plate of the unit; a warm tyre reads about a tenth more (common practice), so it is never let down.
    """
    short = plate - pressure
    figures = {"read": pressure_in_all(pressure).bar, "plate": pressure_in_all(plate).bar}
    if short > PRESSURE_GAUGE:
        return _("%(read)s is less than the %(plate)s of the plate: pump it up, then look for the reason.", **figures)
    if not is_cold:
        return _("Read warm, a tyre shows more than it has. Read it again cold before letting air out.")
    if -short > PRESSURE_GAUGE:
        return _("%(read)s is more than the %(plate)s of the plate for a cold tyre: let it down to that.", **figures)
    return None
