"""Rest voltage to state of charge, for 12 V batteries: tables, each named, since published ones disagree.

All are for 26.7 °C (80 °F) and a battery that neither charges nor gives for hours. Between two rows straight.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from consumables.battery.chemistry import Chemistry


@dataclass(frozen=True, slots=True)
class RestTable:
    """`points` are (volts, percent), the fullest first. `name` is said wherever a figure rests on it."""

    name: str
    points: tuple[tuple[Decimal, Decimal], ...]

    def percent(self, volts: Decimal) -> Decimal:
        """State of charge, 0 to 100 %, to the ends of the table: full above it, its lowest row below it."""
        above = self.points[0]
        if volts >= above[0]:
            return above[1]
        for above, below in pairwise(self.points):
            if volts >= below[0]:
                return below[1] + (above[1] - below[1]) * (volts - below[0]) / (above[0] - below[0])
        return self.points[-1][1]


def _table(name: str, rows: Sequence[tuple[str, int]]) -> RestTable:
    return RestTable(name, tuple((Decimal(volts), Decimal(percent)) for volts, percent in rows))


TABLES = {
    Chemistry.FLOODED: _table(
        "battery council table", [("12.65", 100), ("12.45", 75), ("12.24", 50), ("12.06", 25), ("11.89", 0)]
    ),
    Chemistry.AGM: _table(
        "maker’s AGM table", [("12.80", 100), ("12.60", 75), ("12.30", 50), ("12.00", 25), ("11.80", 0)]
    ),
    Chemistry.GEL: _table(
        "maker’s gel table", [("12.85", 100), ("12.65", 75), ("12.35", 50), ("12.00", 25), ("11.80", 0)]
    ),
    Chemistry.LITHIUM: _table(
        "indicative lithium chart",
        [("13.6", 99), ("13.4", 90), ("13.3", 70), ("13.2", 40), ("13.0", 30), ("12.8", 20), ("12.0", 10), ("10.0", 0)],
    ),
}
"""The table that counts, by chemistry. AGM and gel agree with handbooks seen; lithium has no neutral source."""

OTHER_FLOODED = _table("motor-home magazine table", [("12.66", 100), ("12.45", 75), ("12.30", 50), ("12.15", 25)])
"""Disagrees with the council's by up to 0.09 V between half and a quarter: about 12 % of charge."""


def tables_for(chemistry: Chemistry) -> tuple[RestTable, ...]:
    """The table that counts, then others that are printed for the same chemistry: their spread is doubt."""
    return (TABLES[chemistry], OTHER_FLOODED) if chemistry == Chemistry.FLOODED else (TABLES[chemistry],)
