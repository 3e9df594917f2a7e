"""The four kinds of house battery, and how much of each may be used."""

from decimal import Decimal
from enum import StrEnum


class Chemistry(StrEnum):
    FLOODED = "flooded"
    AGM = "agm"
    GEL = "gel"
    LITHIUM = "lithium"  # lithium iron phosphate


LEAD = frozenset({Chemistry.FLOODED, Chemistry.AGM, Chemistry.GEL})
# Common practice, no source: lead taken below half ages fast; lithium keeps a fifth for what switches it off.
USABLE_LEAD, USABLE_LITHIUM = Decimal("0.5"), Decimal("0.8")


def usable_share(chemistry: Chemistry) -> Decimal:
    """The share of the capacity to plan with, 0 to 1."""
    return USABLE_LEAD if chemistry in LEAD else USABLE_LITHIUM
