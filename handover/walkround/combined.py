"""How well the litres between two readings of a tank are known by the book, beside what the counter charges by."""

from decimal import ROUND_UP, Decimal

from consumables.tank import TankCurve, straight_line
from consumables.tank.level import GaugeReading, taken
from handover.walkround.sheet import InstrumentAsk

TANKS = frozenset({"fuel", "exhaust_fluid"})
TENTH = Decimal("0.1")


def expanded(ask: InstrumentAsk, out: Decimal | None, back: Decimal | None) -> Decimal | None:
    """Expanded uncertainty of the litres that left a tank, to a tenth upwards; None for what is no tank, or not read.

    JCGM 100:2008, 5.1.2 and 6.2: both readings rectangular, level of confidence 95 %, the curve of the pickup taken as
    exact. For information: what is charged goes by the plain half-widths.
    """
    if ask.measures not in TANKS or not ask.capacity or ask.unit != "L" or out is None or back is None:
        return None
    curve = TankCurve(ask.curve) if ask.curve else straight_line(ask.capacity)
    off_by = ask.half_width / ask.capacity
    readings = (GaugeReading(curve.part_at(litres), off_by) for litres in (out, back))
    half_width = taken(curve, *readings).expanded().half_width
    return Decimal(f"{half_width:.6f}").quantize(TENTH, ROUND_UP)
