"""A tank curve being learned, as a plot: receipts as points, the curve with its doubt, the straight line. Pure."""

from decimal import Decimal
from fractions import Fraction
from math import ceil

from consumables.plot import Axis, Plot, Point, band, crosses, dots, drawing, polyline
from consumables.tank.curve import TankCurve
from consumables.tank.learning import Learned, Residual

# The band shows two standard uncertainties each way: about 95 % where many receipts agree.
SHOWN = 2
LITRE_STEPS = (1, 2, 5, 10, 20, 50, 100)


def curve_svg(learned: Learned, *, label: str, gauge_words: str, litre_words: str) -> str:
    """The plot of one unit's tank. Words of the axes come from the page; label says the image in a sentence."""
    plot = Plot(_gauge_axis(gauge_words), _litre_axis(learned.curve, litre_words))
    points = knots(learned.curve)
    u = [SHOWN * float(each) for each in learned.standard_uncertainty]
    low = [(part, level - each) for (part, level), each in zip(points, u, strict=True)]
    high = [(part, level + each) for (part, level), each in zip(points, u, strict=True)]
    used, aside = ([place_of(each, learned.curve) for each in learned.residuals if each.used is is_used]
                   for is_used in (True, False))  # fmt: skip
    straight = polyline(plot, [points[0], points[-1]], "straight")
    shown = [band(plot, low, high), straight, polyline(plot, points, "learned"), dots(plot, used), crosses(plot, aside)]
    return drawing(plot, label, shown)


def knots(curve: TankCurve) -> list[Point]:
    return [(place / curve.spans, float(level)) for place, level in enumerate(curve.litres)]


def place_of(residual: Residual, curve: TankCurve) -> Point:
    """A receipt as a point: the gauge before, and what was in the tank then if the level after is right."""
    return float(residual.fill.before), float(curve.litres_at(residual.fill.after) - residual.fill.litres)


def _gauge_axis(words: str) -> Axis:
    eighths = [Fraction(place, 8) for place in range(9)]
    return Axis(0.0, 1.0, words, tuple((float(part), "" if part.denominator == 8 else str(part)) for part in eighths))


def _litre_axis(curve: TankCurve, words: str) -> Axis:
    step = next(each for each in LITRE_STEPS if each * 6 >= curve.capacity or each == LITRE_STEPS[-1])
    top = ceil(curve.capacity / Decimal(step)) * step
    return Axis(0.0, float(top), words, tuple((float(at), str(at)) for at in range(0, top + 1, step)))
