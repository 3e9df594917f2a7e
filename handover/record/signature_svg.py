"""A signature as it was drawn, from its points: numbers only, so that nothing else can get into the drawing."""

import math
from collections.abc import Sequence

from handover.record.content import Stroke

WIDTH, HEIGHT, MARGIN = 150.0, 46.0, 3.0
MOST_POINTS, MOST_STROKES, FURTHEST = 3000, 80, 100_000.0


def signature_svg(strokes: Sequence[Stroke]) -> str:
    """The drawing, fitted into 150 by 46 and never enlarged; "" where there is no usable point.

    At most MOST_STROKES strokes and MOST_POINTS points are drawn: longer strokes are thinned evenly.
    """
    lines = [line for line in (_points(stroke) for stroke in strokes[:MOST_STROKES]) if line]
    lines = _thinned(lines)
    if not lines:
        return ""
    path = " ".join(_line(line) for line in _fitted(lines))
    drawn = f'<path d="{path}" fill="none" stroke="#1a1724" stroke-width="1.7" stroke-linecap="round"/>'
    return f'<svg width="150" height="46" viewBox="0 0 150 46">{drawn}</svg>'


Point = tuple[float, float]


def _points(stroke: Stroke) -> list[Point]:
    points = [(point[0], point[1]) for point in stroke if len(point) >= 2]
    return [(float(x), float(y)) for x, y in points if _is_near(x) and _is_near(y)]


def _is_near(number: object) -> bool:
    return type(number) in (int, float) and math.isfinite(number) and abs(number) <= FURTHEST  # type: ignore[arg-type]


def _thinned(lines: list[list[Point]]) -> list[list[Point]]:
    every = math.ceil(sum(map(len, lines)) / MOST_POINTS)
    return [[*line[::every], line[-1]] for line in lines] if every > 1 else lines


def _fitted(lines: list[list[Point]]) -> list[list[Point]]:
    xs, ys = [x for line in lines for x, _ in line], [y for line in lines for _, y in line]
    left, top = min(xs), min(ys)
    width, height = max(xs) - left or 1.0, max(ys) - top or 1.0
    scale = min((WIDTH - 2 * MARGIN) / width, (HEIGHT - 2 * MARGIN) / height, 1.0)
    drop = HEIGHT - MARGIN - height * scale
    return [[(MARGIN + (x - left) * scale, drop + (y - top) * scale) for x, y in line] for line in lines]


def _line(points: list[Point]) -> str:
    """A tap is one point; a line to itself makes it a dot."""
    first, *rest = points
    return f"M{_xy(first)} " + " ".join(f"L{_xy(point)}" for point in rest or [first])


def _xy(point: Point) -> str:
    return f"{point[0]:.1f} {point[1]:.1f}"
