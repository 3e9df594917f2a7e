"""Photos for the demo, drawn: a gauge with its needle, a scale with its figure, a door with or without a scuff."""

import math
from functools import cache
from io import BytesIO

from PIL import Image, ImageDraw, ImageFont

from handover.demo import scenes

WIDE, TALL = 1600, 1200
SIDE = 306  # of the sides that can be drawn, one with room for a scuff
INK, PALE, NEEDLE = "#14121c", "#f3f0e8", "#ffb169"


def gauge(share: float, caption: str) -> bytes:
    """A fuel gauge at a share of full (0 to 1)."""
    image, pen = _sheet("#3d434c")
    centre, reach = (WIDE // 2, 950), 640
    pen.ellipse((centre[0] - 760, centre[1] - 760, centre[0] + 760, centre[1] + 760), fill=INK)
    for step in range(9):
        angle = _angle(step / 8)
        inner = reach - (90 if step % 2 == 0 else 50)
        pen.line((_at(centre, inner, angle), _at(centre, reach, angle)), fill=PALE, width=14)
    pen.line((centre, _at(centre, reach - 60, _angle(share))), fill=NEEDLE, width=26)
    pen.ellipse((centre[0] - 60, centre[1] - 60, centre[0] + 60, centre[1] + 60), fill="#3a3547")
    return _finished(image, pen, caption)


def scale(kilograms: str, caption: str) -> bytes:
    """A hook scale showing a gross mass."""
    image, pen = _sheet("#6d7278")
    pen.rounded_rectangle((420, 260, 1180, 940), 40, fill=INK)
    pen.rectangle((500, 420, 1100, 700), fill="#b9c9a8")
    pen.text((800, 560), f"{kilograms} kg", fill=INK, anchor="mm", font=ImageFont.load_default(170))
    return _finished(image, pen, caption)


def panel(*, scuffed: bool, caption: str) -> bytes:
    """A door panel from the side; with a scuff low on it or without."""
    image, pen = _sheet("#cfd5d4")
    pen.rectangle((200, 120, 1400, 1040), outline="#8f979a", width=10)
    pen.rectangle((300, 220, 1300, 560), fill="#5a6470")
    pen.rounded_rectangle((1180, 640, 1320, 690), 20, fill="#8f979a")
    if scuffed:
        for row in range(9):
            pen.line((560 + row * 14, 800 + row * 7, 880 + row * 9, 786 + row * 8), fill="#6a6156", width=5)
    return _finished(image, pen, caption)


@cache
def view(name: str) -> bytes:
    """Any other view of the layout, small: its name over a surface of its own."""
    hue = sum(map(ord, name)) % 60
    image = Image.new("RGB", (640, 480), (150 + hue, 158 + hue // 2, 164))
    pen = ImageDraw.Draw(image)
    for line in range(5):
        pen.line((0, 90 + line * 70 + hue, 640, 70 + line * 74), fill=(120 + hue, 126, 130), width=3)
    pen.rounded_rectangle((60 + 2 * hue, 130, 330 + 3 * hue, 330), 18, outline=INK, width=5)
    pen.text((30, 420), name, fill=INK, font=ImageFont.load_default(34))
    out = BytesIO()
    image.save(out, "JPEG", quality=80)
    return out.getvalue()


@cache
def side(*, came_back: bool) -> bytes:
    """The kerb side with its door: at the return from a step aside, under another sky, and scuffed."""
    scene = scenes.side(SIDE)
    if not came_back:
        return scenes.photo(scene, scenes.Light(), seed=1).data
    light = scenes.Light(moved=0.03, gain=0.9, slant=0.08, warmth=0.03, noise=3, blur=0.8)
    return scenes.photo(scene, light, seed=2, damages=(scenes.Damage("scuff", 520, 560, 90),)).data


def _sheet(colour: str) -> tuple[Image.Image, ImageDraw.ImageDraw]:
    image = Image.new("RGB", (WIDE, TALL), colour)
    return image, ImageDraw.Draw(image)


def _angle(share: float) -> float:
    """From empty, low on the left, to full, low on the right."""
    return math.radians(200 + 140 * share)


def _at(centre: tuple[int, int], reach: float, angle: float) -> tuple[float, float]:
    return centre[0] + reach * math.cos(angle), centre[1] + reach * math.sin(angle)


def _finished(image: Image.Image, pen: ImageDraw.ImageDraw, caption: str) -> bytes:
    pen.text((40, TALL - 70), caption, fill="#ffffff", font=ImageFont.load_default(44))
    out = BytesIO()
    image.save(out, "JPEG", quality=88)
    return out.getvalue()
