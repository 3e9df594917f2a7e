"""Gas in cylinders: what is in them by weight, how many litres that is, when one is too full, how long it lasts.

Pure: exact quantities in and out. Everything here is advice. Cylinders are filled, connected and tested by those who
are licensed for it; what is stamped on the cylinder and the codes of the country come first.
"""

from consumables.lpg.burning import GasLoad, NightsLeft, burnt_in_a_day, hourly, nights_left
from consumables.lpg.cylinder import AnotherCylinder, Content, Cylinder, Overfilled, content, fill_limit, overfilled
from consumables.lpg.density import liquid_density, liquid_litres
from consumables.lpg.kinds import BUTANE, PROPANE, GasKind, GasUnclear, gas_kind, mixture

__all__ = [
    "BUTANE", "PROPANE", "AnotherCylinder", "Content", "Cylinder", "GasKind", "GasLoad", "GasUnclear", "NightsLeft",
    "Overfilled", "burnt_in_a_day", "content", "fill_limit", "gas_kind", "hourly", "liquid_density", "liquid_litres",
    "mixture", "nights_left", "overfilled",
]  # fmt: skip
