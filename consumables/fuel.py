"""Fuel and exhaust fluid: volume at 15 °C, for information, and the distance as a check of both readings. Pure.

Nothing here is charged: pumps and gauges read litres as they are, and the difference is less than one graduation.
"""

from dataclasses import dataclass
from decimal import Decimal
from math import exp
from typing import Literal

from consumables.said import Said
from consumables.said import say as _
from shared.units import Quantity, quantity, value_in

Liquid = Literal["diesel", "petrol", "exhaust_fluid"]
REFERENCE_C = 15.0
COLDEST_C, HOTTEST_C = -50.0, 60.0

# kg/m3 at 15 °C in the middle of the standard's range. Diesel: EN 590, 820 to 845. Petrol: EN 228, 720 to 775 (from
# memory). AUS 32: ISO 22241-1, 1087 to 1093 at 20 °C, brought to 15 °C.
DENSITY_15 = {"diesel": 835.0, "petrol": 747.5, "exhaust_fluid": 1092.3}
# Thermal expansion K0 / d2 + K1 / d of ASTM D1250-80, table 54B, for the density d at 15 °C in kg/m3.
GASOLINES, FUEL_OILS = (346.4228, 0.4388), (186.9696, 0.4862)
# Water with a third of urea, near 15 °C, per kelvin: from memory, no source at hand.
EXHAUST_FLUID_EXPANSION = 4.3e-4

# Litres for 100 km that ask a question: handbook of the trade, "above 25 or below 5". Asked, never refused.
USUAL = (Decimal(5), Decimal(25))
# Below this a gauge's own step is more than what was burned.
SHORTEST_KM = Decimal(20)


def volume_at_15(volume: Quantity, temperature: Quantity, liquid: Liquid, density: float | None = None) -> Quantity:
    """What a volume measured at a temperature (-50 to 60 °C) would be at 15 °C.

    density in kg/m3 at 15 °C, where it is known better than by the standard's middle. The factor is that of ASTM
    D1250-80, table 54B (road fuels), 2 parts in 100,000 of the table; for exhaust fluid a plain expansion. Raises
    ValueError for a temperature beyond the range.
    """
    celsius = float(value_in(temperature, "degC"))
    if not COLDEST_C <= celsius <= HOTTEST_C:
        raise ValueError(f"{celsius} °C is no temperature of a liquid in a tank here.")
    factor = _factor(liquid, density or DENSITY_15[liquid], celsius - REFERENCE_C)
    standard: Quantity = volume * Decimal(factor)
    return standard


def _factor(liquid: Liquid, density: float, warmer_by: float) -> float:
    if liquid == "exhaust_fluid":
        return 1 - EXHAUST_FLUID_EXPANSION * warmer_by
    k0, k1 = GASOLINES if liquid == "petrol" else FUEL_OILS
    expansion = (k0 / density + k1) / density
    return exp(-expansion * warmer_by * (1 + 0.8 * expansion * warmer_by))


@dataclass(frozen=True, slots=True)
class Trip:
    """Levels in litres at pickup and return, the half-width of each, the distance in km, litres filled on the way.

    filled_l is None where nobody knows: without receipts only a level that fell too far can be told.
    """

    out_l: Decimal
    back_l: Decimal
    half_width_l: Decimal
    km: Decimal
    filled_l: Decimal | None = None


def consumption_check(trip: Trip) -> Said | None:
    """One question when the distance and the two levels do not go together; None when they can, or cannot be told.

    Basis: 5 to 25 L for 100 km (handbook of the trade), with both readings' half-widths in the trip's favour. Raises
    ValueError for a negative distance.
    """
    if trip.km < 0:
        raise ValueError(f"A distance of {trip.km} km cannot be.")
    if trip.km < SHORTEST_KM:
        return _standing(trip)
    burned, doubt = trip.out_l - trip.back_l + (trip.filled_l or 0), 2 * trip.half_width_l
    least, most = ((burned + side * doubt) * 100 / trip.km for side in (-1, 1))
    if least > USUAL[1]:
        return _asked(_("%(rate)s L for 100 km is more than a camper burns (%(low)s to %(high)s L): %(likely)s"),
                      burned, trip, _("is a level misread, or the odometer?"))  # fmt: skip
    if trip.filled_l is not None and most < USUAL[0]:
        return _asked(_("%(rate)s L for 100 km is less than a camper burns (%(low)s to %(high)s L): %(likely)s"),
                      burned, trip, _("is a receipt missing, or a level misread?"))  # fmt: skip
    return None


def _asked(words: Said, burned: Decimal, trip: Trip, likely: Said) -> Said:
    rate = f"{max(burned, Decimal(0)) * 100 / trip.km:.0f}"
    low, high = (str(each) for each in USUAL)
    return Said(words.words, (("rate", rate), ("low", low), ("high", high), ("likely", likely)))


def _standing(trip: Trip) -> Said | None:
    """A unit that hardly moved: a level that fell by more than the doubt was not burned on the road."""
    gone = trip.out_l - trip.back_l + (trip.filled_l or 0) - 2 * trip.half_width_l
    if gone <= USUAL[1] * trip.km / 100:
        return None
    figures = {"litres": f"{trip.out_l - trip.back_l:.0f}", "km": f"{trip.km:.0f}"}
    return _("The level fell by %(litres)s L in %(km)s km. Is a level misread, or the odometer?", **figures)


def mass_of(volume: Quantity, liquid: Liquid) -> Quantity:
    """Mass of a liquid at 15 °C by the middle of its standard's range; within 2 % for diesel, 4 % for petrol."""
    mass: Quantity = quantity(Decimal(DENSITY_15[liquid]), "kg/m**3") * volume
    return mass.to("kilogram")
