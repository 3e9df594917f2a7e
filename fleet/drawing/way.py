"""The way round: what is walked is one unbroken line, what lies ahead is a line of paces. Corners are rounded."""

from collections.abc import Sequence
from math import dist

from fleet.drawing.frame import Frame
from fleet.drawing.model import StationPoint
from fleet.drawing.shapes import element, number

Point = tuple[float, float]
WIDEST_TURN = 48.0


def walked(stations: Sequence[StationPoint]) -> int:
    """How many stations, from the first, have been reached without a gap."""
    for count, station in enumerate(stations):
        if station.state == "todo":
            return count
    return len(stations)


def legs(stations: Sequence[StationPoint], frame: Frame) -> list[list[Point]]:
    """For each station after the first: the points from the one before to it."""
    places = [frame.point((station.x_mm, station.y_mm)) for station in stations]
    return [
        [places[i - 1], *(frame.point(corner) for corner in stations[i].way_from_previous), places[i]]
        for i in range(1, len(stations))
    ]


def toward(start: Point, end: Point, distance: float) -> Point:
    """The point at a distance from start on the straight way to end."""
    share = distance / dist(start, end)
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


def turn_at(points: Sequence[Point], i: int) -> float:
    """How wide the turn at corner i may be: two corners share the straight between them."""
    before, after = dist(points[i - 1], points[i]), dist(points[i], points[i + 1])
    return min(WIDEST_TURN, before if i == 1 else before / 2, after if i == len(points) - 2 else after / 2)


def rounded(points: Sequence[Point]) -> str:
    """Path commands after the start: straight lines with a curve at each corner."""
    steps: list[str] = []
    for i in range(1, len(points) - 1):
        radius = turn_at(points, i)
        if radius:
            begin, end = toward(points[i], points[i - 1], radius), toward(points[i], points[i + 1], radius)
            steps.append(f"L {pair(begin)} Q {pair(points[i])} {pair(end)}")
    return " ".join([*steps, f"L {pair(points[-1])}"])


def pair(point: Point) -> str:
    return f"{number(point[0])} {number(point[1])}"


def line(kind: str, parts: Sequence[Sequence[Point]]) -> str:
    if not parts:
        return ""
    commands = " ".join([f"M {pair(parts[0][0])}", *(rounded(points) for points in parts)])
    return element("path", {"class": kind, "d": commands})


def way(stations: Sequence[StationPoint], frame: Frame) -> str:
    """Paces ahead first, so that the ink of what is walked lies upon them."""
    parts = legs(stations, frame)
    reached = max(walked(stations) - 1, 0)
    return line("way", parts[reached:]) + line("gone", parts[:reached])
