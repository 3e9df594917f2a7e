"""Where two photos of one view differ, once they lie over each other: places to look at, never findings.

Measured by `make bench` on drawn sides of a vehicle with known damages: 12 sides in 5 lights, changed and unchanged,
180 damages (tests/photos/laid.py); the limits below were chosen on other sides. Real paint and rain are harder:

    light                           found   false alarms a pair      kind, longest side of 1200 px    found
    same light                        92%   0.3                      scratch 40, 80, 160 px           80, 97, 90%
    other light                       83%   0.1                      scuff 50, 100 px                 73, 64%
    a step aside, 6% of the width     83%   0.4                      dent 30, 50, 80 px               100, 80, 53%
    dusk                              64%   0.3                      part gone 24, 48 px              87, 80%
    shade and gloss                   78%   0.6                      all                              80%, 0.3 false
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, TypeAlias

import cv2
import numpy as np
from numpy.typing import NDArray

Picture: TypeAlias = NDArray[Any]

# Half the width of what is sought, in pixels of the working picture, with the least difference that counts there in
# levels of grey: a scratch, a chip or scuff, a small dent, a large one.
SCALES = ((1.2, 9.0), (3.0, 7.0), (8.0, 5.0), (16.0, 5.0))
TIMES_NOISE = 5.0
# Dark paint, once evened out, is noisier than the rest: what is usual is asked of the surroundings too.
AROUND_PX = 121
# Of the contrast that is there already so much may come of another focus or a light from another side.
OF_CONTRAST = 0.35
# Where the score begins to be looked at, and what it must reach within a place.
TOUCHING, SURE = 0.8, 1.2
LEAST_AREA = 30
NEAR_PX = 26
MOST = 8
# A panel that bulges is off by a little more than the plane; what is farther off is not the vehicle.
FARTHEST_PX = 6.0
BLOCK = 16
LIGHT_PX = 60.0


@dataclass(frozen=True, slots=True)
class Region:
    """A box in thousandths of the picture's width and height."""

    left: int
    top: int
    width: int
    height: int


def regions_of(first: Picture, second: Picture, compared: Picture) -> tuple[Region, ...]:
    """The boxes that differ most, at most MOST, the surest first.

    Both pictures are BGR in one frame; `compared` is true where both show the vehicle.
    """
    one, two = _evened(first, compared), _evened(second, compared)
    two = _settled(one, np.where(compared, two, one))
    score = _score(one, two) * cv2.erode(compared.astype(np.uint8), np.ones((9, 9), np.uint8))
    surest = sorted(_places(score), key=lambda place: -place[0])
    return tuple(region for _, region in surest[:MOST])


def _evened(picture: Picture, compared: Picture) -> Picture:
    """Grey, as if every part were lit alike: shade takes contrast away together with light."""
    grey = cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY).astype(np.float32)
    weight = compared.astype(np.float32) + 1e-3
    light = _blurred(grey * weight, LIGHT_PX) / _blurred(weight, LIGHT_PX)
    evened: Picture = grey * (128 / np.maximum(light, 16))
    return evened


def _blurred(picture: Picture, sigma: float) -> Picture:
    """A wide blur by way of a small picture."""
    small = cv2.resize(picture, None, fx=0.125, fy=0.125, interpolation=cv2.INTER_AREA)
    small = cv2.GaussianBlur(small, (0, 0), sigma / 8)
    return cv2.resize(small, (picture.shape[1], picture.shape[0]), interpolation=cv2.INTER_LINEAR)


def _settled(one: Picture, two: Picture) -> Picture:
    """The second picture moved onto the first where the panel is not flat, by a few pixels."""
    seen, seen_2 = (np.clip(picture, 0, 255).astype(np.uint8) for picture in (one, two))
    nothing = np.zeros((*one.shape, 2), np.float32)
    found = cv2.DISOpticalFlow.create(cv2.DISOPTICAL_FLOW_PRESET_FAST).calc(seen, seen_2, nothing)
    flow = _by_blocks(np.clip(found, -FARTHEST_PX, FARTHEST_PX))
    rows, columns = np.mgrid[0 : one.shape[0], 0 : one.shape[1]].astype(np.float32)
    return cv2.remap(two, columns + flow[..., 0], rows + flow[..., 1], cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)


def _by_blocks(flow: Picture) -> Picture:
    """Block by block its median: what moves is the panel, not the scratch on it."""
    height, width = flow.shape[0] // BLOCK, flow.shape[1] // BLOCK
    blocks = flow[: height * BLOCK, : width * BLOCK].reshape(height, BLOCK, width, BLOCK, 2)
    median = np.median(blocks[:, ::2, :, ::2], axis=(1, 3)).astype(np.float32)
    planes = [cv2.medianBlur(np.ascontiguousarray(median[..., axis]), 5) for axis in (0, 1)]
    return np.dstack([cv2.resize(plane, (flow.shape[1], flow.shape[0])) for plane in planes])


def _score(one: Picture, two: Picture) -> Picture:
    """1 where the difference just counts, at the scale where it counts most."""
    score = np.zeros_like(one)
    for scale, least in SCALES:
        smaller = max(1.0, scale / 2)
        first, second = (_shrunk(picture, smaller) for picture in (one, two))
        here = _score_at(first, second, scale / smaller, least)
        score = np.maximum(score, cv2.resize(here, (one.shape[1], one.shape[0]), interpolation=cv2.INTER_LINEAR))
    return score


def _shrunk(picture: Picture, by: float) -> Picture:
    if by == 1:
        return picture
    return cv2.resize(picture, None, fx=1 / by, fy=1 / by, interpolation=cv2.INTER_AREA)


def _score_at(one: Picture, two: Picture, scale: float, least: float) -> Picture:
    first, second = _band(one, scale), _band(two, scale)
    noise = _noise(np.abs(second - first))
    reach = np.ones((3 + 2 * round(scale / 2), 3 + 2 * round(scale / 2)), np.uint8)
    highest, lowest = cv2.dilate(first, reach), cv2.erode(first, reach)
    beyond = np.maximum(np.maximum(second - highest, lowest - second), 0)
    contrast = cv2.dilate(np.abs(first), np.ones((3 + 2 * round(scale), 3 + 2 * round(scale)), np.uint8))
    score: Picture = (beyond - OF_CONTRAST * contrast) / np.maximum(least, TIMES_NOISE * noise)
    return score


def _noise(off: Picture) -> Picture:
    """The usual difference as a standard deviation: of the whole picture, and of what lies around."""
    whole = 1.4826 * float(np.median(off))
    usual: Picture = np.maximum(whole, 1.25 * cv2.blur(off, (AROUND_PX, AROUND_PX)))
    return usual


def _band(picture: Picture, scale: float) -> Picture:
    return cv2.GaussianBlur(picture, (0, 0), scale) - cv2.GaussianBlur(picture, (0, 0), 3 * scale)


def _places(score: Picture) -> Iterator[tuple[float, Region]]:
    """How sure, and where: what lies near each other is one place."""
    counts = score > TOUCHING
    near = cv2.dilate(counts.astype(np.uint8), np.ones((NEAR_PX, NEAR_PX), np.uint8))
    number, labels = cv2.connectedComponents(near)
    for label in range(1, number):
        here = counts & (labels == label)
        if here.sum() >= LEAST_AREA and (highest := float(score[here].max())) >= SURE:
            yield highest, _box(here)


def _box(here: Picture) -> Region:
    rows, columns = np.flatnonzero(here.any(axis=1)), np.flatnonzero(here.any(axis=0))
    down, across = 1000 / here.shape[0], 1000 / here.shape[1]
    left, top = int(columns[0] * across), int(rows[0] * down)
    return Region(left, top, int((columns[-1] + 1) * across) - left, int((rows[-1] + 1) * down) - top)
