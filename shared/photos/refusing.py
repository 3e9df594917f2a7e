"""Which files are photos, and what to say of those that are not."""

import re

MEGAPIXELS = 50
# A sensor sold as 50 megapixels gives up to 8192 x 6144.
MAX_PIXELS = 51_000_000
CAN = f"A photo as JPEG, PNG, WebP or HEIC up to {MEGAPIXELS} megapixels can be added."

# The decoder's name by the first bytes; the name and the ending of a file say nothing.
PHOTOS = (
    ("JPEG", rb"\xff\xd8\xff"),
    ("PNG", rb"\x89PNG\r\n\x1a\n"),
    ("WEBP", rb"RIFF....WEBP"),
    ("HEIF", rb"....ftyp(heic|heix|heim|heis|hevc|hevx|mif1|mif2|msf1)"),
)
OTHERS = (
    ("a GIF picture", rb"GIF8[79]a"),
    ("a TIFF or raw camera picture", rb"II\*\0|MM\0\*|II\x2b\0|MM\0\x2b"),
    ("an AVIF picture", rb"....ftyp(avif|avis)"),
    ("a BMP picture", rb"BM.{4}\0\0\0\0"),
    ("an icon", rb"\0\0[\x01\x02]\0"),
    ("a Photoshop picture", rb"8BPS"),
    ("a JPEG 2000 picture", rb"\0\0\0\x0cjP  |\xff\x4f\xff\x51"),
    ("a JPEG XL picture", rb"\xff\x0a|\0\0\0\x0cJXL "),
    ("a PostScript drawing", rb"%!PS|\xc5\xd0\xd3\xc6"),
    ("a PDF document", rb"%PDF-"),
    ("a video", rb"....ftyp|....moov|\x1a\x45\xdf\xa3|RIFF....AVI "),
    ("a sound", rb"RIFF....WAVE|ID3|OggS|fLaC"),
    ("a ZIP archive", rb"PK(\x03\x04|\x05\x06|\x07\x08)"),
    ("a packed archive", rb"\x1f\x8b|BZh|7z\xbc\xaf|Rar!|\xfd7zXZ"),
    ("a program", rb"MZ|\x7fELF|\xcf\xfa\xed\xfe"),
)


class NotAPhoto(ValueError):
    """A file that cannot be added. The message is the sentence to show: what it is, and what can be added."""

    def __str__(self) -> str:
        # Not joined at once: it goes from one process to another, where it is made anew of what it was made of.
        return f"{super().__str__()} {CAN}"


def photo_format(data: bytes) -> str:
    """JPEG, PNG, WEBP or HEIF, by the first bytes. Raises NotAPhoto for everything else, naming what it is."""
    if not data:
        raise NotAPhoto("This file is empty: the upload may have broken off.")
    for name, start in PHOTOS:
        if re.match(start, data, re.DOTALL):
            return name
    raise NotAPhoto(f"This file is {_other(data[:4096])}, not a photo.")


def damaged(name: str) -> NotAPhoto:
    shown = {"WEBP": "WebP", "HEIF": "HEIC"}.get(name, name)
    return NotAPhoto(f"This {shown} is damaged or cut off and shows no picture: the upload may have broken off.")


def broke_its_reader() -> NotAPhoto:
    return NotAPhoto("This picture cannot be read: reading it breaks off each time.")


def too_large(width: int, height: int) -> NotAPhoto:
    millions = -(-width * height // 1_000_000)
    return NotAPhoto(f"This picture has {millions} megapixels ({width} × {height}), which is too many.")


def far_too_large() -> NotAPhoto:
    return NotAPhoto("This picture has far too many megapixels.")


def _other(start: bytes) -> str:
    for what, pattern in OTHERS:
        if re.match(pattern, start, re.DOTALL):
            return what
    if not _is_text(start):
        return "of no kind known here"
    written = start.lower()
    return "an SVG drawing" if b"<svg" in written else "a web page" if b"<html" in written else "a text"


def _is_text(start: bytes) -> bool:
    try:
        text = start.decode("utf-16" if start[:2] in {b"\xff\xfe", b"\xfe\xff"} else "utf-8")
    except UnicodeDecodeError as error:
        # The excerpt may end within a letter; what stands before it decides.
        if error.start < len(start) - 4:
            return False
        text = start[: error.start].decode()
    return bool(text) and all(letter.isprintable() or letter.isspace() for letter in text.lstrip("\ufeff"))
