"""Lines on one scale as inline SVG: a dot for the value, a whisker from low to high, the label above its line. Pure.

Colours come from the page's own classes. The numbers stand in the table beside it: the image says its label only.
"""

from collections.abc import Iterator
from math import floor, log10

from fleet.drawing.shapes import element, number, text
from handover.insight.table import Drawing, Span

WIDTH, LEFT, RIGHT, TOP, LINE, FOOT = 640.0, 12.0, 24.0, 8.0, 58.0, 56.0
DOT, END = 7.0, 9.0
MOST_TICKS = 5


def drawn(drawing: Drawing, label: str) -> str:
    """The whole image. A scale from zero to a round number above the largest value."""
    top = _round_up(max((max(span.value, span.high or 0) for span in drawing.spans), default=0) or 1)
    height = TOP + LINE * len(drawing.spans) + FOOT
    parts = [*_ticks(top, height), *(_line(span, place, top) for place, span in enumerate(drawing.spans))]
    words = text(drawing.axis, {"class": "m", "x": number(WIDTH / 2), "y": number(height - 8)})
    frame = {"xmlns": "http://www.w3.org/2000/svg", "class": "spans", "role": "img", "aria-label": label,
             "viewBox": f"0 0 {number(WIDTH)} {number(height)}"}  # fmt: skip
    return element("svg", frame, "".join(parts) + words)


def _round_up(value: float) -> float:
    """1, 2 or 5 times a power of ten, at or above the value."""
    power = 10.0 ** floor(log10(value))
    return next(step * power for step in (1, 2, 5, 10) if step * power >= value * (1 - 1e-12))


def _x(value: float, top: float) -> float:
    return LEFT + value / top * (WIDTH - LEFT - RIGHT)


def _ticks(top: float, height: float) -> Iterator[str]:
    for place in range(MOST_TICKS):
        value = top * place / (MOST_TICKS - 1)
        x = number(_x(value, top))
        yield element("path", {"class": "grid", "d": f"M{x} {number(TOP)} V{number(height - FOOT)}"})
        anchor = "m" if place else "l"
        yield text(f"{value:g}", {"class": anchor, "x": x, "y": number(height - FOOT + 22)})


def _line(span: Span, place: int, top: float) -> str:
    y = TOP + LINE * place
    at = number(y + 40)
    name = text(span.label, {"x": number(LEFT), "y": number(y + 22)})
    whisker = ""
    if span.low is not None and span.high is not None:
        low, high = number(_x(span.low, top)), number(_x(span.high, top))
        ends = f"M{low} {number(y + 40 - END)} v{number(2 * END)} M{high} {number(y + 40 - END)} v{number(2 * END)}"
        whisker = element("path", {"class": "whisker", "d": f"M{low} {at} H{high} {ends}"})
    dot = element("circle", {"class": "dot", "cx": number(_x(span.value, top)), "cy": at, "r": number(DOT)})
    return name + whisker + dot
