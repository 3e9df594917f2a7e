"""Laying the later photo of a view over the earlier one: what the two show alike is found, and a step aside undone.

Pure: bytes in, arrays and bytes out. A side of a vehicle is nearly flat, so one homography carries the whole picture;
what stands behind it shifts differently and is left out of the comparison (`differing.py`).
"""

from collections import Counter
from dataclasses import dataclass
from typing import Any, TypeAlias

import cv2
import numpy as np
from numpy.typing import NDArray

from handover.photo.differing import Region, regions_of

Picture: TypeAlias = NDArray[Any]

# The long edge at which features are sought and pictures compared, in pixels.
WORKING_EDGE = 1200
CELL = 60
FEATURES_A_CELL = 12
PLANES = 3
NARROWEST = 64
# Of two candidates the better one must be clearly nearer.
CLEARLY_NEARER = 0.8
OFF_BY_PX = 3.0
FARTHEST_PX = 4.0
FEWEST_MATCHES = 20
LEAST_FILL = 0.12
MARGIN = 0.14
LEAST_OVERLAP = 0.5
# By area: nearer or farther by half is no same view any more.
MOST_TIMES = 6
QUALITY = 85


class TooDifferent(ValueError):
    """The two photos do not show the same thing from nearly the same place."""


@dataclass(frozen=True, slots=True)
class Laid:
    """The later photo as a JPEG in the frame of the earlier one, and where the two differ."""

    jpeg: bytes
    regions: tuple[Region, ...]


def lay_over(earlier: bytes, later: bytes) -> Laid:
    """Raises TooDifferent; ValueError for bytes that are no picture."""
    first, second = _decoded(earlier), _decoded(later)
    one, two = _working(first), _working(second)
    change, vehicle = _between(_grey(one), _grey(two))
    seen = _carried(np.full(two.shape[:2], 255, np.uint8), change, one) > 254
    _check(change, seen)
    regions = regions_of(one, _carried(two, change, one), seen & vehicle)
    laid = _carried(second, _scale(first, one) @ change @ np.linalg.inv(_scale(second, two)), first)
    _, jpeg = cv2.imencode(".jpg", laid, [cv2.IMWRITE_JPEG_QUALITY, QUALITY])
    return Laid(jpeg.tobytes(), regions)


def _carried(picture: Picture, change: Picture, onto: Picture) -> Picture:
    return cv2.warpPerspective(picture, change, (onto.shape[1], onto.shape[0]), flags=cv2.INTER_CUBIC)


def _decoded(data: bytes) -> Picture:
    picture = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR)
    if picture is None:
        raise ValueError("These bytes are no picture.")
    if min(picture.shape[:2]) < NARROWEST:
        raise TooDifferent("Too narrow to hold anything alike.")
    return picture


def _working(picture: Picture) -> Picture:
    scale = WORKING_EDGE / max(picture.shape[:2])
    if scale >= 1:
        return picture
    return cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)


def _scale(whole: Picture, small: Picture) -> Picture:
    """From the working picture to the whole one."""
    return np.diag([whole.shape[1] / small.shape[1], whole.shape[0] / small.shape[0], 1.0])


def _grey(picture: Picture) -> Picture:
    """With the light evened out, so that a shaded side has its features too."""
    return cv2.createCLAHE(clipLimit=3.0, tileGridSize=(8, 8)).apply(cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY))


def _between(first: Picture, second: Picture) -> tuple[Picture, Picture]:
    """How a point of the second is carried to the first, and where the first shows what is carried so: the vehicle."""
    source, target = _alike(first, second)
    change = _plane(*_in_the_middle(source, target, first.shape), first.shape)
    agree = np.hypot(*(cv2.perspectiveTransform(source[:, None], change)[:, 0] - target).T) < FARTHEST_PX
    other = _on_another_plane(source[~agree], target[~agree])
    return change, _flat_part(target[agree], target[~agree][other], first.shape)


def _on_another_plane(source: Picture, target: Picture) -> Picture:
    """Which of these agree among themselves: the yard behind. What a new scratch is taken for agrees with nothing."""
    found = np.zeros(len(source), bool)
    for _ in range(PLANES - 1):
        left = np.flatnonzero(~found)
        if len(left) < FEWEST_MATCHES:
            break
        _, kept = _fitted(source[left], target[left])
        if kept.sum() < FEWEST_MATCHES:
            break
        found[left[kept]] = True
    return found


def _fitted(source: Picture, target: Picture) -> tuple[Picture | None, Picture]:
    """The homography that most agree on, and which do."""
    change, kept = cv2.findHomography(source, target, cv2.USAC_MAGSAC, OFF_BY_PX, maxIters=10_000, confidence=0.999)
    return (None, np.zeros(len(source), bool)) if change is None else (change, kept.ravel().astype(bool))


def _plane(source: Picture, target: Picture, shape: tuple[int, ...]) -> Picture:
    """Of the planes that the two share, the one that fills the middle: the vehicle, not the hedge behind it."""
    middle = _weights(shape)
    best, best_fill = None, 0.0
    for _ in range(PLANES):
        if len(source) < FEWEST_MATCHES:
            break
        change, kept = _fitted(source, target)
        if change is None or kept.sum() < FEWEST_MATCHES:
            break
        if (fill := _fill(target[kept], middle)) > best_fill:
            best, best_fill = change, fill
        source, target = source[~kept], target[~kept]
    if best is None or best_fill < LEAST_FILL:
        raise TooDifferent(f"What agrees fills {best_fill:.0%} of the middle.")
    return best


def _flat_part(agree: Picture, against: Picture, shape: tuple[int, ...]) -> Picture:
    """The outline of what agrees and a little round it, without the cells where the yard is seen."""
    votes = np.zeros((shape[0] // CELL + 1, shape[1] // CELL + 1))
    for points, vote in ((agree, 1), (against, -1)):
        np.add.at(votes, _cells(points), vote)
    inside = np.zeros(shape[:2], np.uint8)
    # One alone in its cell agrees by chance.
    trusted = agree[votes[_cells(agree)] > 1]
    if len(trusted) < FEWEST_MATCHES:
        raise TooDifferent(f"{len(trusted)} points are sure.")
    outline = cv2.convexHull(trusted.astype(np.int32))
    cv2.fillConvexPoly(inside, outline, 1)
    cv2.polylines(inside, [outline], isClosed=True, color=1, thickness=CELL // 3)
    yard = cv2.resize((votes < 0).astype(np.uint8), None, fx=CELL, fy=CELL, interpolation=cv2.INTER_NEAREST)
    flat: Picture = (inside > 0) & (yard[: shape[0], : shape[1]] == 0)
    return flat


def _cells(points: Picture) -> tuple[Picture, Picture]:
    """Rows and columns."""
    return (points[:, 1] // CELL).astype(int), (points[:, 0] // CELL).astype(int)


def _in_the_middle(source: Picture, target: Picture, shape: tuple[int, ...]) -> tuple[Picture, Picture]:
    """Without what lies near the edges of the first picture, where the yard is seen."""
    size = np.array([shape[1], shape[0]])
    inside = np.all((target > MARGIN * size) & (target < (1 - MARGIN) * size), axis=1)
    return source[inside], target[inside]


def _alike(first: Picture, second: Picture) -> tuple[Picture, Picture]:
    """Points of the second picture and where the first shows the same, one row each."""
    points, marks = _features(first)
    points_2, marks_2 = _features(second)
    if min(len(points), len(points_2)) < FEWEST_MATCHES:
        raise TooDifferent("Too little to hold on to in one of the pictures.")
    found = cv2.BFMatcher().knnMatch(marks_2, marks, k=2)
    pairs = [best for best, other in found if best.distance < CLEARLY_NEARER * other.distance]
    return points_2[[pair.queryIdx for pair in pairs]], points[[pair.trainIdx for pair in pairs]]


def _features(grey: Picture) -> tuple[Picture, Picture]:
    """Points and their descriptions, the strongest of each cell: gravel has thousands, a painted side a few."""
    sift = cv2.SIFT.create(contrastThreshold=0.015)
    found = sorted(sift.detect(grey, None), key=lambda point: -point.response)
    room: Counter[tuple[int, int]] = Counter()
    kept = []
    for point in found:
        cell = (int(point.pt[0]) // CELL, int(point.pt[1]) // CELL)
        if room[cell] < FEATURES_A_CELL:
            room[cell] += 1
            kept.append(point)
    points, marks = sift.compute(grey, kept)
    return np.array([point.pt for point in points]).reshape(-1, 2), marks if points else np.zeros((0, 128), np.float32)


def _weights(shape: tuple[int, ...]) -> Picture:
    """How much each cell belongs to the middle; all together 1."""
    rows, columns = shape[0] // CELL + 1, shape[1] // CELL + 1
    down, across = np.linspace(-1, 1, rows)[:, None], np.linspace(-1, 1, columns)[None, :]
    weights = np.exp(-2 * (down**2 + across**2))
    shares: Picture = weights / weights.sum()
    return shares


def _fill(points: Picture, weights: Picture) -> float:
    """The share of the middle in which points lie."""
    cells = np.zeros_like(weights)
    rows = np.clip(points[:, 1] // CELL, 0, cells.shape[0] - 1).astype(int)
    columns = np.clip(points[:, 0] // CELL, 0, cells.shape[1] - 1).astype(int)
    cells[rows, columns] = 1
    return float((cells * weights).sum())


def _check(change: Picture, seen: Picture) -> None:
    """A step aside keeps a picture's corners in order, its size much the same, and most of it in view."""
    height, width = seen.shape[:2]
    corners = np.array([[[0, 0]], [[width, 0]], [[width, height]], [[0, height]]], np.float64)
    carried = cv2.perspectiveTransform(corners, change).astype(np.float32)
    if not cv2.isContourConvex(carried):
        raise TooDifferent("The picture would be folded.")
    if not 1 / MOST_TIMES < cv2.contourArea(carried) / (width * height) < MOST_TIMES or seen.mean() < LEAST_OVERLAP:
        raise TooDifferent("The two share less than half a picture.")
