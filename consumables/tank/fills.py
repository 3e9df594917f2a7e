"""A fill: what the gauge showed before, the litres of the pump's receipt, what the gauge showed after. Pure."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

import numpy as np

from consumables.readable import figure
from consumables.said import Said
from consumables.said import say as _
from consumables.uncertainty import rectangular

Array = np.ndarray[tuple[int, ...], np.dtype[np.float64]]
DoubtKind = Literal["no_fuel", "more_than_tank", "gauge_did_not_rise", "off", "many_off", "scatter", "capacity"]

# Pump: error limit of accuracy class 0.5 for sale to the public, Directive 2014/32/EU, Annex VII (MI-005), table 2.
PUMP_ERROR = 0.005
# "Full to the click" is a level within a litre each way: common practice, no source.
CLICK_LITRES = 1.0
# A filler neck and a foaming tank take a little more than the usable litres: common practice, no source.
OVER_FULL = Decimal("1.05")


@dataclass(frozen=True, slots=True)
class Fill:
    """before, after: parts of full as read, 0 to 1. litres from the receipt. key finds the receipt again.

    to_click: filled until the pump stopped by itself, so that the level after is known better than the gauge shows.
    """

    key: str
    before: Decimal
    after: Decimal
    litres: Decimal
    to_click: bool = False


@dataclass(frozen=True, slots=True)
class Doubt:
    """Where receipts and gauge disagree, and the evidence; key is the fill's, empty when it is about the unit."""

    kind: DoubtKind
    sentence: Said
    key: str = ""


def impossible_fill(fill: Fill, capacity: Decimal) -> Doubt | None:
    """A fill that cannot teach anything; capacity in litres."""
    litres = figure(fill.litres)
    if fill.litres <= 0:
        return Doubt("no_fuel", _("The receipt has %(litres)s L: nothing was filled.", litres=litres), fill.key)
    if fill.litres > capacity * OVER_FULL:
        words = _("%(litres)s L do not go into %(tank)s L. Is the receipt another unit's?", litres=litres,
                  tank=figure(capacity))  # fmt: skip
        return Doubt("more_than_tank", words, fill.key)
    if fill.after <= fill.before:
        words = _("%(litres)s L went in and the gauge did not rise. Was it read with the ignition on?", litres=litres)
        return Doubt("gauge_did_not_rise", words, fill.key)
    return None


def standard_uncertainties(fills: Iterable[Fill], *, half_width: float, capacity: float) -> Array:
    """Of each fill's litres against its two readings, in litres: gauge twice (or the click) and the pump.

    half_width as a part of full, taken as rectangular and turned into litres by the straight line.
    """
    gauge, click = rectangular(half_width * capacity), rectangular(CLICK_LITRES)
    return np.array([_uncertainty(fill, gauge, click) for fill in fills])


def _uncertainty(fill: Fill, gauge: float, click: float) -> float:
    after = min(click, gauge) if fill.to_click else gauge
    pump = rectangular(PUMP_ERROR * float(fill.litres))
    return float(np.sqrt(gauge**2 + after**2 + pump**2))
