"""Pictures made here: no camera, no person and no place is in them."""

import struct
import zlib
from io import BytesIO
from typing import Any

import pillow_heif
from PIL import Image

pillow_heif.register_heif_opener()

RED, GREEN, BLUE, YELLOW = (220, 30, 30), (30, 180, 30), (30, 30, 220), (230, 220, 40)
PLACE = {1: "N", 2: (57.0, 28.0, 1.5), 3: "W", 4: (4.0, 13.0, 30.0)}
XMP = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><exif:GPSLatitude>57,28.025N</exif:GPSLatitude></x:xmpmeta>'


def quarters(width: int = 64, height: int = 48, mode: str = "RGB") -> Image.Image:
    """Red and green above, blue and yellow below."""
    image = Image.new("RGB", (2, 2))
    for place, colour in zip(((0, 0), (1, 0), (0, 1), (1, 1)), (RED, GREEN, BLUE, YELLOW), strict=True):
        image.putpixel(place, colour)
    return image.resize((width, height), Image.Resampling.NEAREST).convert(mode)


def noise(width: int = 320, height: int = 240) -> Image.Image:
    return Image.effect_noise((width, height), 60).convert("RGB")


def exif(
    *, orientation: int = 1, place: bool = True, time: str = "2026:07:04 09:15:00", offset: str = "+01:00"
) -> bytes:
    """A camera's block, with maker and place."""
    block = Image.Exif()
    block[0x010F], block[0x0112] = "Maker", orientation
    inner = {0x9003: time, 0x9011: offset, 0x927C: b"maker's own note"}
    block[0x8769] = {tag: said for tag, said in inner.items() if said}
    if place:
        block[0x8825] = PLACE
    return block.tobytes()


def saved(image: Image.Image, name: str, **how: Any) -> bytes:
    file = BytesIO()
    image.save(file, name, **how)
    return file.getvalue()


def opened(data: bytes) -> Image.Image:
    return Image.open(BytesIO(data))


def chunk(kind: bytes, content: bytes) -> bytes:
    """A chunk of a PNG."""
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))


def png_of(width: int, height: int, rows: bytes = b"") -> bytes:
    """A grey PNG that states a size, whatever its data hold."""
    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    data = zlib.compress(rows or bytes(1000), 9)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", data) + chunk(b"IEND", b"")


def box(kind: bytes, content: bytes) -> bytes:
    """A box of a HEIF file."""
    return struct.pack(">I", len(content) + 8) + kind + content
