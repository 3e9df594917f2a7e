"""Kerb and road: on which side of the vehicle a station lies, and in which direction the vehicle is walked round. Pure.

A layout is drawn for one side of the traffic. Where a unit is used on the other, kerb and road change sides: the words
of its stations follow, and the ring of stations outside is walked the other way round where that brings the kerb side
first. The numbers of the stations stay, as marks and photos are kept under them.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from handover.walkround.sheet import StationSheet

Side = Literal["kerb", "road", ""]
Point = tuple[int, int]
OTHER_WORDS = {"Kerb side": "Road side", "Road side": "Kerb side", "kerb side": "road side", "road side": "kerb side"}


def side_of(x_mm: int, width_mm: int, traffic_side: str) -> Side:
    """Empty inside the vehicle and on its centre line. x runs to the right, seen from above with the nose up."""
    if abs(x_mm) <= width_mm // 2:
        return ""
    return "kerb" if (x_mm < 0) == (traffic_side == "left") else "road"


def kerb_first(
    stations: Sequence[StationSheet], *, width_mm: int, length_mm: int, drawn_for: str, traffic_side: str
) -> tuple[StationSheet, ...]:
    """As drawn, where it is drawn for this traffic or for none."""
    if not drawn_for or drawn_for == traffic_side:
        return tuple(stations)
    said = [replace(station, where=_other_words(station.where)) for station in stations]
    ring = _outside(said, width_mm, length_mm)
    sides = [side for station in ring if (side := side_of(station.x_mm, width_mm, traffic_side))]
    if sides[:1] != ["road"] or "kerb" not in sides:
        return tuple(said)
    return (*_other_way_round(ring, width_mm), *_inside_from(ring, said[len(ring) :], width_mm))


def _other_words(where: str) -> str:
    return next((where.replace(words, other) for words, other in OTHER_WORDS.items() if words in where), where)


def _outside(stations: Sequence[StationSheet], width_mm: int, length_mm: int) -> list[StationSheet]:
    """The run of stations round the vehicle, before the first inside it."""
    ring: list[StationSheet] = []
    for station in stations:
        if abs(station.x_mm) <= width_mm // 2 and 0 <= station.y_mm <= length_mm:
            break
        ring.append(station)
    return ring


def _other_way_round(ring: Sequence[StationSheet], width_mm: int) -> list[StationSheet]:
    """A first station on the centre line, the nose, stays the first. Each way is the one back along it."""
    first, rest = ([ring[0]], ring[1:]) if abs(ring[0].x_mm) <= width_mm // 2 else ([], ring)
    turned = list(reversed(rest))
    ways = [tuple(reversed(station.way)) for station in turned[:-1]]
    begins: tuple[Point, ...] = ((turned[0].x_mm, first[0].y_mm),) if first else ()
    return [*first, *(replace(one, way=way) for one, way in zip(turned, [begins, *ways], strict=True))]


def _inside_from(
    ring: Sequence[StationSheet], inside: Sequence[StationSheet], width_mm: int
) -> list[StationSheet]:  # fmt: skip
    """The first inside is reached by its own door, now from the other end of the ring."""
    if not inside:
        return []
    way = list(inside[0].way)
    outer = [place for place, (x, _) in enumerate(way) if abs(x) > width_mm // 2]
    door = way[outer[-1]] if outer else (ring[-1].x_mm, ring[-1].y_mm)
    inner = way[outer[-1] + 1 :] if outer else way
    return [replace(inside[0], way=(*_round_the_nose(ring, door, width_mm), door, *inner)), *inside[1:]]


def _round_the_nose(ring: Sequence[StationSheet], door: Point, width_mm: int) -> tuple[Point, ...]:
    """From where the turned ring ends to the door: none where both lie on one side."""
    end = ring[1] if abs(ring[0].x_mm) <= width_mm // 2 else ring[0]
    if (end.x_mm < 0) == (door[0] < 0):
        return ()
    nose = min(station.y_mm for station in ring)
    return (end.x_mm, nose), (door[0], nose)
