"""A plot as inline SVG: axes with words, lines, a band, points. Pure. Colours come from the page's own classes.

Values are plain floats in the units of the axes. The numbers belong in a table beside the plot: an image says its
label only.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from fleet.drawing.shapes import element, number, text

Point = tuple[float, float]
LEFT, RIGHT, TOP, BOTTOM = 64.0, 20.0, 38.0, 58.0
DOT, CROSS = 5.0, 6.0


@dataclass(frozen=True, slots=True)
class Axis:
    """From low to high (low < high), its words, and what is written at which values."""

    low: float
    high: float
    words: str
    ticks: tuple[tuple[float, str], ...]

    def share(self, value: float) -> float:
        return (value - self.low) / (self.high - self.low)


@dataclass(frozen=True, slots=True)
class Plot:
    """Two axes and a size in CSS pixels."""

    x: Axis
    y: Axis
    width: int = 640
    height: int = 420

    def at(self, point: Point) -> Point:
        """Where a pair of values lies on the drawing; beyond the axes at their end."""
        across, up = (min(max(axis.share(v), 0.0), 1.0) for axis, v in zip((self.x, self.y), point, strict=True))
        inner = self.height - TOP - BOTTOM
        return LEFT + across * (self.width - LEFT - RIGHT), TOP + (1 - up) * inner


def polyline(plot: Plot, points: Iterable[Point], kind: str) -> str:
    """kind is the class of the line: "learned", "straight"."""
    return element("path", {"class": f"curve {kind}", "d": _through(plot, points)})


def band(plot: Plot, low: Sequence[Point], high: Sequence[Point]) -> str:
    """The field between two lines that have the same values across."""
    return element("path", {"class": "spread", "d": _through(plot, [*low, *reversed(high)]) + " Z"})


def dots(plot: Plot, points: Iterable[Point]) -> str:
    return "".join(element("circle", {"class": "dot", "cx": x, "cy": y, "r": number(DOT)})
                   for x, y in (_numbers(plot.at(point)) for point in points))  # fmt: skip


def crosses(plot: Plot, points: Iterable[Point]) -> str:
    """Points that do not count: another shape, not another colour alone."""
    return "".join(element("path", {"class": "cross", "d": _cross(*plot.at(point))}) for point in points)


def drawing(plot: Plot, label: str, parts: Iterable[str]) -> str:
    """The whole image; label is its sentence in words."""
    size = {"width": str(plot.width), "height": str(plot.height), "viewBox": f"0 0 {plot.width} {plot.height}"}
    named = {"xmlns": "http://www.w3.org/2000/svg", "class": "plot", "role": "img", "aria-label": label}
    return element("svg", named | size, _axes(plot) + "".join(parts))


def _through(plot: Plot, points: Iterable[Point]) -> str:
    return "M" + " L".join(" ".join(_numbers(plot.at(point))) for point in points)


def _numbers(place: Point) -> tuple[str, str]:
    return number(place[0]), number(place[1])


def _cross(x: float, y: float) -> str:
    reach = number(2 * CROSS)
    return f"M{number(x - CROSS)} {number(y - CROSS)} l{reach} {reach} m0 -{reach} l-{reach} {reach}"


def _axes(plot: Plot) -> str:
    across = "".join(_tick_below(plot, value, words) for value, words in plot.x.ticks)
    up = "".join(_tick_left(plot, value, words) for value, words in plot.y.ticks)
    middle = number((LEFT + plot.width - RIGHT) / 2)
    names = text(plot.x.words, {"class": "m", "x": middle, "y": number(plot.height - 8)})
    return across + up + names + text(plot.y.words, {"x": "8", "y": "17"})


def _tick_below(plot: Plot, value: float, words: str) -> str:
    x, foot = _numbers(plot.at((value, plot.y.low)))
    head = _numbers(plot.at((value, plot.y.high)))[1]
    line = element("path", {"class": "grid", "d": f"M{x} {foot} V{head}"})
    return line + text(words, {"class": "m", "x": x, "y": number(float(foot) + 22)})


def _tick_left(plot: Plot, value: float, words: str) -> str:
    left, y = _numbers(plot.at((plot.x.low, value)))
    right = _numbers(plot.at((plot.x.high, value)))[0]
    line = element("path", {"class": "grid", "d": f"M{left} {y} H{right}"})
    return line + text(words, {"class": "r", "x": number(float(left) - 8), "y": number(float(y) + 6)})
