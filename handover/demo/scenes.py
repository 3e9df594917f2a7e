"""Drawn sides of a camper as two photos of one view see them: a little moved, in other light, with damage or without.

For the demo, and for measuring how well two photos are laid over each other: what differs is known to the pixel.
"""

from dataclasses import dataclass, field
from typing import Any, Literal, TypeAlias

import cv2
import numpy as np
from numpy.typing import NDArray

Picture: TypeAlias = NDArray[Any]
Plane: TypeAlias = NDArray[Any]
Box: TypeAlias = tuple[int, int, int, int]

WIDE, TALL = 1200, 900
PAINTS = ((226, 230, 232), (206, 198, 186), (120, 96, 70), (170, 178, 182), (96, 104, 110))
DamageKind: TypeAlias = Literal["scratch", "scuff", "dent", "missing part"]


@dataclass(frozen=True, slots=True)
class Damage:
    """Something that one photo has and the other has not, at x, y; `size` is its longest side; all in pixels."""

    kind: DamageKind
    x: int
    y: int
    size: int
    strength: float = 1.0


@dataclass(frozen=True, slots=True)
class Light:
    """How a photo was taken. `moved` is how far a corner of the picture shifts, as a share of its width.

    `slant` brightens one side and darkens the other; `shadow` lays one across; `gloss` is a reflection of the sky.
    """

    moved: float = 0.0
    gain: float = 1.0
    slant: float = 0.0
    warmth: float = 0.0
    shadow: float = 0.0
    gloss: float = 0.0
    blur: float = 0.6
    noise: float = 2.0
    jpeg: int = 85


@dataclass(frozen=True, slots=True)
class Scene:
    """What stands in front and what behind, and the mask between them: from a step aside they shift differently."""

    vehicle: Picture
    behind: Picture
    mask: Plane


@dataclass(frozen=True, slots=True)
class Shot:
    """A photo as JPEG, with the boxes (left, top, width, height) of its damages in the scene's own frame."""

    data: bytes
    boxes: tuple[Box, ...] = field(default=())


def side(seed: int) -> Scene:
    """A side of a vehicle straight on: paint, seams, windows, flaps, lettering, wheel, and the yard behind it."""
    draw = np.random.default_rng(seed)
    behind = _behind(draw)
    picture = behind.copy()
    _body(picture, draw)
    for _ in range(int(draw.integers(2, 4))):
        _window(picture, draw)
    for _ in range(int(draw.integers(2, 5))):
        _flap(picture, draw)
    _seams(picture, draw)
    _lettering(picture, draw)
    _wheel(picture, draw)
    mask = np.any(picture != behind, axis=2).astype(np.float64)
    grain = draw.normal(0, 1.2, picture.shape)
    return Scene(_whole(cv2.GaussianBlur(picture + grain, (0, 0), 0.7)), behind, cv2.GaussianBlur(mask, (0, 0), 0.7))


def photo(scene: Scene, light: Light, *, seed: int, damages: tuple[Damage, ...] = ()) -> Shot:
    """The scene with its damages as a camera sees it in this light; the same seed gives the same bytes."""
    draw = np.random.default_rng(seed)
    vehicle, boxes = scene.vehicle.astype(np.float64), []
    for damage in damages:
        boxes.append(_damage(vehicle, damage, draw))
    seen = _lit(_moved(scene, vehicle, light.moved, draw), light, draw)
    _, jpeg = cv2.imencode(".jpg", _whole(seen), [cv2.IMWRITE_JPEG_QUALITY, light.jpeg])
    return Shot(jpeg.tobytes(), tuple(boxes))


def place_on_body(draw: np.random.Generator, margin: int = 60) -> tuple[int, int]:
    """Somewhere on the painted side."""
    return int(draw.integers(140 + margin, WIDE - 140 - margin)), int(draw.integers(170 + margin, 700 - margin))


def _behind(draw: np.random.Generator) -> Picture:
    """Sky, hedge and the gravel of the yard."""
    picture = np.full((TALL, WIDE, 3), (200, 190, 170), np.float64)
    hedge = cv2.resize(draw.normal(0, 1, (14, 60)), (WIDE, 170), interpolation=cv2.INTER_CUBIC)
    picture[60:230] += (hedge * 30)[..., None] - (60, 30, 55)
    gravel = draw.normal(0, 1, (TALL - 720, WIDE)) * 12
    gravel += cv2.resize(draw.normal(0, 1, (24, 160)), (WIDE, TALL - 720), interpolation=cv2.INTER_CUBIC) * 9
    picture[720:] = (gravel + 110)[..., None]
    return _whole(picture)


def _body(picture: Picture, draw: np.random.Generator) -> None:
    paint = np.array(PAINTS[int(draw.integers(len(PAINTS)))], np.float64)
    rows = np.linspace(1.08, 0.78, 590)[:, None, None]
    body = np.broadcast_to(paint * rows, (590, WIDE - 200, 3)).copy()
    for crease in draw.integers(60, 560, 4):
        body[crease : crease + 2] -= 26
        body[crease + 2 : crease + 4] += 16
    mask = np.zeros((TALL, WIDE), np.uint8)
    cv2.rectangle(mask, (100, 140), (WIDE - 101, 729), 255, -1)
    picture[mask > 0] = _whole(body).reshape(-1, 3)
    cv2.rectangle(picture, (100, 140), (WIDE - 101, 729), (60, 60, 64), 3)


def _window(picture: Picture, draw: np.random.Generator) -> None:
    x, y = int(draw.integers(130, 820)), int(draw.integers(165, 240))
    w, h = int(draw.integers(180, 300)), int(draw.integers(110, 180))
    cv2.rectangle(picture, (x, y), (x + w, y + h), (52, 48, 44), -1)
    cv2.rectangle(picture, (x, y), (x + w, y + h), (26, 26, 28), 6)
    cv2.line(picture, (x + 20, y + h - 14), (x + w // 2, y + 12), (92, 88, 82), 9, cv2.LINE_AA)


def _flap(picture: Picture, draw: np.random.Generator) -> None:
    x, y = int(draw.integers(150, 940)), int(draw.integers(440, 600))
    w, h = int(draw.integers(60, 140)), int(draw.integers(60, 110))
    shade = int(draw.integers(150, 235))
    cv2.rectangle(picture, (x, y), (x + w, y + h), (shade, shade, shade), -1)
    cv2.rectangle(picture, (x, y), (x + w, y + h), (84, 86, 90), 3)
    cv2.circle(picture, (x + w - 16, y + h // 2), 7, (40, 40, 44), -1, cv2.LINE_AA)
    for dx, dy in ((8, 8), (w - 8, 8), (8, h - 8), (w - 8, h - 8)):
        cv2.circle(picture, (x + dx, y + dy), 3, (110, 112, 116), -1, cv2.LINE_AA)


def _seams(picture: Picture, draw: np.random.Generator) -> None:
    for x in draw.integers(180, 1020, 3):
        cv2.line(picture, (int(x), 146), (int(x), 724), (74, 76, 80), 3)
        cv2.rectangle(picture, (int(x) + 14, 420), (int(x) + 64, 436), (48, 50, 54), -1)
    cv2.rectangle(picture, (104, 640), (WIDE - 104, 652), (70, 74, 80), -1)


def _lettering(picture: Picture, draw: np.random.Generator) -> None:
    ink = tuple(int(value) for value in draw.integers(20, 150, 3))
    place = (int(draw.integers(150, 560)), int(draw.integers(390, 430)))
    cv2.putText(picture, "LARKMOOR campers", place, cv2.FONT_HERSHEY_DUPLEX, 1.7, ink, 4, cv2.LINE_AA)
    start, end = (110, int(draw.integers(450, 560))), (WIDE - 110, int(draw.integers(360, 480)))
    cv2.line(picture, start, end, ink, 7, cv2.LINE_AA)


def _wheel(picture: Picture, draw: np.random.Generator) -> None:
    x = int(draw.integers(260, 940))
    cv2.circle(picture, (x, 716), 92, (34, 34, 38), -1, cv2.LINE_AA)
    cv2.circle(picture, (x, 716), 54, (170, 172, 176), -1, cv2.LINE_AA)
    for turn in range(8):
        angle = turn * np.pi / 4 + 0.2
        spot = (round(x + 32 * np.cos(angle)), round(716 + 32 * np.sin(angle)))
        cv2.circle(picture, spot, 8, (60, 62, 66), -1, cv2.LINE_AA)


def _damage(picture: Plane, damage: Damage, draw: np.random.Generator) -> Box:
    """Draws it in place; the box around it."""
    mask = np.zeros(picture.shape[:2], np.float64)
    half = damage.size // 2
    if damage.kind == "dent":
        return _dent(picture, damage)
    if damage.kind == "missing part":
        box = (damage.x - half, damage.y - half // 2, damage.size, max(half, 4))
        cv2.rectangle(mask, box[:2], (box[0] + box[2], box[1] + box[3]), 1.0, -1)
        paint = 38 if picture[damage.y, damage.x].mean() > 110 else 190
        picture += (mask * damage.strength)[..., None] * (paint - picture)
        return box
    lines = 1 if damage.kind == "scratch" else 9
    turn = float(draw.uniform(-0.5, 0.5))
    for line in range(lines):
        shift = (line - lines // 2) * 5
        dx, dy = half * np.cos(turn), half * np.sin(turn)
        start = (round(damage.x - dx), round(damage.y - dy + shift))
        end = (round(damage.x + dx), round(damage.y + dy + shift + draw.integers(-6, 7)))
        cv2.line(mask, start, end, 1.0, 2, cv2.LINE_AA)
    tone = 55.0 * damage.strength * (-1 if picture[damage.y, damage.x].mean() > 110 else 1)
    picture += (cv2.GaussianBlur(mask, (0, 0), 0.6) * tone)[..., None]
    ys, xs = np.nonzero(mask)
    return int(xs.min()), int(ys.min()), int(np.ptp(xs)) + 1, int(np.ptp(ys)) + 1


def _dent(picture: Plane, damage: Damage) -> Box:
    """Light on the lower lip, shade under the upper one: what a hollow does to paint."""
    radius = damage.size / 2
    ys, xs = np.mgrid[0 : picture.shape[0], 0 : picture.shape[1]]
    u, v = (xs - damage.x) / radius, (ys - damage.y) / (radius * 0.7)
    hollow = np.exp(-2 * (u**2 + v**2)) * v * 2.3
    picture += (hollow * 42 * damage.strength)[..., None]
    return round(damage.x - radius), round(damage.y - 0.7 * radius), damage.size, round(1.4 * radius)


def _moved(scene: Scene, vehicle: Plane, moved: float, draw: np.random.Generator) -> Plane:
    """As from a step aside: each corner goes its own way, and what stands behind goes another."""
    corners = np.array([[0, 0], [WIDE, 0], [WIDE, TALL], [0, TALL]], np.float32)
    shift = draw.uniform(-moved, moved, (4, 2)) * WIDE
    farther = shift * 0.6 + draw.uniform(-moved, moved, 2) * WIDE * 0.3
    front, back = (cv2.getPerspectiveTransform(corners, (corners + by).astype(np.float32)) for by in (shift, farther))
    mask = _warped(scene.mask, front)[..., None]
    seen: Plane = _warped(vehicle, front) * mask + _warped(scene.behind.astype(np.float64), back) * (1 - mask)
    return seen


def _warped(picture: Plane, change: Plane) -> Plane:
    warped: Plane = cv2.warpPerspective(picture, change, (WIDE, TALL), borderMode=cv2.BORDER_REFLECT)
    return warped


def _lit(picture: Plane, light: Light, draw: np.random.Generator) -> Plane:
    across = np.linspace(-1, 1, WIDE)[None, :, None] * light.slant
    warmth = np.array([1 - light.warmth, 1.0, 1 + light.warmth])
    seen = picture * light.gain * (1 + across) * warmth
    if light.shadow:
        seen *= 1 - light.shadow * _patch(draw, 26)[..., None]
    if light.gloss:
        seen += light.gloss * 70 * _patch(draw, 40)[..., None]
    blurred: Plane = cv2.GaussianBlur(seen, (0, 0), light.blur)
    noisy: Plane = blurred + draw.normal(0, light.noise, seen.shape)
    return noisy


def _patch(draw: np.random.Generator, softness: int) -> Plane:
    """A slanting band over the picture with soft edges, 0 to 1."""
    mask = np.zeros((TALL, WIDE))
    top, bottom, width = draw.integers(100, 900), draw.integers(100, 900), int(draw.integers(120, 320))
    band = np.array([[top, 0], [top + width, 0], [bottom + width, TALL], [bottom, TALL]], np.int32)
    cv2.fillPoly(mask, [band], 1.0)
    soft: Plane = cv2.GaussianBlur(mask, (0, 0), softness)
    return soft


def _whole(picture: Plane) -> Picture:
    whole: Picture = np.clip(picture, 0, 255).astype(np.uint8)
    return whole
