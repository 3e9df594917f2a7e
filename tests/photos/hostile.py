"""Files as people and their devices send them, and as somebody sends them who means harm: each with what must come.

HOSTILE is (name, bytes, accepted). What is accepted is a photo that a camera can make, however odd; of the rest each is
refused in a sentence that begins as SAID says. No file here comes from a camera, a person or the outside.
"""

import gzip
import struct
import zipfile
import zlib
from io import BytesIO

import cv2
import numpy as np
from PIL import Image, PngImagePlugin

from tests.photos.pictures import box, chunk, exif, noise, png_of, quarters, saved

PNG_START = b"\x89PNG\r\n\x1a\n"
SCRIPT = b"<script>fetch('/sign-out/',{method:'POST'})</script>"
DAMAGED, NOT, MANY = "This {} is damaged", "This file is {}", "This picture has"


def _jpeg(**how: object) -> bytes:
    return saved(noise(), "JPEG", **how)


def _changed(data: bytes, at: int, to: bytes) -> bytes:
    return data[:at] + to + data[at + len(to) :]


def _jpeg_of_size(width: int, height: int) -> bytes:
    data = saved(quarters(), "JPEG")
    return _changed(data, data.index(b"\xff\xc0") + 5, struct.pack(">HH", height, width))


def _png_with(*chunks: bytes) -> bytes:
    whole = saved(quarters(), "PNG")
    return whole[:33] + b"".join(chunks) + whole[33:]


def _wrong_checksum() -> bytes:
    whole = saved(quarters(), "PNG")
    place = whole.index(b"IDAT")
    return _changed(whole, place + 8, bytes([whole[place + 8] ^ 0xFF]))


def _long_chunk() -> bytes:
    whole = saved(quarters(), "PNG")
    return _changed(whole, whole.index(b"IDAT") - 4, b"\x7f\xff\xff\xff")


def _segment(marker: int, content: bytes) -> bytes:
    return b"\xff" + bytes([marker]) + struct.pack(">H", len(content) + 2) + content


def _jpeg_with(*segments: bytes) -> bytes:
    whole = _jpeg()
    return whole[:2] + b"".join(segments) + whole[2:]


def _self_pointing_exif() -> bytes:
    """A block whose inner directory is the outer one, for ever."""
    entry = struct.pack("<HHII", 0x8769, 4, 1, 8)
    return b"Exif\0\0II*\0\x08\0\0\0" + struct.pack("<H", 1) + entry + struct.pack("<I", 8)


def _exif_of_orientation(value: int) -> bytes:
    entry = struct.pack("<HHIi", 0x0112, 9, 1, value)
    return b"Exif\0\0II*\0\x08\0\0\0" + struct.pack("<H", 1) + entry + bytes(4)


def _zip(name: str = "photo.jpg") -> bytes:
    file = BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(name, bytes(100_000))
    return file.getvalue()


def _texts(size: int) -> PngImagePlugin.PngInfo:
    info = PngImagePlugin.PngInfo()
    for number in range(40):
        info.add_text(f"note {number}", "x" * (size // 40))
    return info


def _frames(name: str) -> bytes:
    red, blue = (Image.new("RGB", (32, 32), colour) for colour in ("red", "blue"))
    return saved(red, name, save_all=True, append_images=[blue] * 20, duration=20)


def _coded(ending: str) -> bytes:
    worked, data = cv2.imencode(ending, np.asarray(noise(64, 48)))
    assert worked, ending
    return data.tobytes()


def _webp_of_size(side: int) -> bytes:
    data = bytearray(saved(quarters(16, 16), "WEBP", lossless=True))
    data[21:25] = struct.pack("<I", side | side << 14)
    return bytes(data)


SVG = '<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"><script>alert(document.cookie)</script></svg>'
ENTITY = '<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]><svg><text>&x;</text></svg>'
LAUGHS = '<!DOCTYPE svg [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;">]><svg>&c;</svg>'
WHOLE_HEIC = saved(noise(), "HEIF")

# What is refused: the name, its bytes, and how the sentence begins.
REFUSED: list[tuple[str, bytes, str]] = [
    ("nothing at all", b"", "This file is empty"),
    ("one byte", b"\xff", NOT),
    ("only noughts", bytes(4096), NOT),
    ("a text called photo.jpg", b"fuel 5/8, gas 7.9 kg", NOT.format("a text")),
    ("a web page with a script", b"<!doctype html><html>" + SCRIPT + b"</html>", NOT.format("a web page")),
    ("SVG with a script", SVG.encode(), NOT.format("an SVG drawing")),
    ("SVG that reads a file", ENTITY.encode(), NOT.format("an SVG drawing")),
    ("SVG that swells", LAUGHS.encode(), NOT.format("an SVG drawing")),
    ("SVG in UTF-16", SVG.encode("utf-16"), NOT),
    ("SVG packed", gzip.compress(SVG.encode(), mtime=0), NOT.format("a packed archive")),
    ("EPS", saved(quarters(), "EPS"), NOT.format("a PostScript drawing")),
    ("PostScript that runs", b"%!PS\n(/etc/passwd) (r) file\n", NOT.format("a PostScript drawing")),
    ("PDF", saved(quarters(), "PDF"), NOT.format("a PDF document")),
    ("GIF", saved(quarters(), "GIF"), NOT.format("a GIF picture")),
    ("animated GIF", _frames("GIF"), NOT.format("a GIF picture")),
    ("GIF that is a script too", b"GIF89a/*" + bytes(16) + b"*/=1;alert(1)", NOT.format("a GIF picture")),
    ("TIFF", saved(quarters(), "TIFF"), NOT.format("a TIFF")),
    ("TIFF whose directory points at itself", b"II*\0\x08\0\0\0\0\0\x08\0\0\0", NOT.format("a TIFF")),
    ("BMP", saved(quarters(), "BMP"), NOT.format("a BMP picture")),
    ("ICO", saved(quarters(), "ICO"), NOT.format("an icon")),
    ("PSD", b"8BPS\0\1" + bytes(20), NOT.format("a Photoshop picture")),
    ("JPEG 2000", _coded(".jp2"), NOT.format("a JPEG 2000 picture")),
    ("JPEG XL", b"\xff\x0a" + bytes(40), NOT.format("a JPEG XL picture")),
    ("AVIF", box(b"ftyp", b"avif\0\0\0\0avifmif1"), NOT.format("an AVIF picture")),
    ("video", box(b"ftyp", b"isom\0\0\0\0") + box(b"moov", bytes(64)), NOT.format("a video")),
    ("sound", b"RIFF\x24\0\0\0WAVEfmt ", NOT.format("a sound")),
    ("ZIP", _zip(), NOT.format("a ZIP archive")),
    ("ZIP whose entry climbs out", _zip("../../etc/cron.d/x"), NOT.format("a ZIP archive")),
    ("program", b"MZ" + bytes(128), NOT.format("a program")),
    ("program of another kind", b"\x7fELF\2\1\1" + bytes(64), NOT.format("a program")),
    ("JPEG cut in half", _jpeg()[: len(_jpeg()) // 2], DAMAGED.format("JPEG")),
    ("JPEG without its last bytes", _jpeg()[:-2], DAMAGED.format("JPEG")),
    ("JPEG that ends where it begins", b"\xff\xd8\xff\xd9", DAMAGED.format("JPEG")),
    ("JPEG with a segment of length nought", _changed(_jpeg(), 4, b"\0\0"), DAMAGED.format("JPEG")),
    ("JPEG that says 65000 by 65000", _jpeg_of_size(65000, 65000), MANY),
    ("JPEG that says nought by nought", _jpeg_of_size(0, 0), DAMAGED.format("JPEG")),
    ("PNG cut off", saved(noise(), "PNG")[:5000], DAMAGED.format("PNG")),
    ("PNG that ends after its first bytes", PNG_START, DAMAGED.format("PNG")),
    ("PNG with a wrong checksum", _wrong_checksum(), DAMAGED.format("PNG")),
    ("PNG with a chunk longer than the file", _long_chunk(), DAMAGED.format("PNG")),
    ("PNG of 900 megapixels in a few bytes", png_of(30_000, 30_000), MANY),
    ("PNG of 81 megapixels", png_of(9_000, 9_000), MANY),
    ("PNG of one by two thousand million", png_of(1, 2**31 - 1), MANY),
    ("PNG whose text swells", _png_with(chunk(b"zTXt", b"n\0\0" + zlib.compress(bytes(50_000_000), 9))), "This"),
    ("PNG whose colours swell", _png_with(chunk(b"iCCP", b"n\0\0" + zlib.compress(bytes(50_000_000), 9))), "This"),
    ("WebP cut off", saved(noise(), "WEBP")[:900], DAMAGED.format("WebP")),
    ("WebP that says 16384 by 16384", _webp_of_size(0x3FFF), MANY),
    ("HEIC cut off", WHOLE_HEIC[: len(WHOLE_HEIC) // 2], DAMAGED.format("HEIC")),
    ("HEIC of its first box alone", box(b"ftyp", b"heic\0\0\0\0mif1heic"), DAMAGED.format("HEIC")),
    ("HEIC whose box is larger than the file", b"\x7f\xff\xff\xffftypheic" + bytes(32), DAMAGED.format("HEIC")),
    ("HEIC without a picture", box(b"ftyp", b"heic\0\0\0\0mif1heic") + box(b"meta", bytes(24)), DAMAGED.format("HEIC")),
]  # fmt: skip
# What a camera, a messenger or an old program makes: odd, and a photo all the same.
TAKEN: list[tuple[str, bytes]] = [
    ("PNG called photo.jpg", saved(quarters(), "PNG")),
    ("JPEG in CMYK", saved(quarters(mode="CMYK"), "JPEG")),
    ("JPEG in grey", saved(quarters(mode="L"), "JPEG")),
    ("JPEG in passes", _jpeg(progressive=True)),
    ("PNG of 16 bits", saved(Image.new("I;16", (32, 32), 40_000), "PNG")),
    ("PNG with a palette", saved(quarters(mode="P"), "PNG")),
    ("PNG of one bit", saved(quarters(mode="1"), "PNG")),
    ("PNG that is animated", _frames("PNG")),
    ("WebP that is animated", _frames("WEBP")),
    ("WebP without loss", saved(quarters(), "WEBP", lossless=True)),
    ("HEIC", WHOLE_HEIC),
    ("JPEG of one pixel", saved(Image.new("RGB", (1, 1)), "JPEG")),
    ("JPEG of 6000 by 2", saved(quarters(6000, 2), "JPEG")),
    ("JPEG with its place", _jpeg(exif=exif(orientation=6))),
    ("JPEG whose orientation is 99", _jpeg(exif=exif(orientation=99))),
    ("JPEG whose orientation is minus one", _jpeg_with(_segment(0xE1, _exif_of_orientation(-1)))),
    ("JPEG whose Exif points at itself", _jpeg_with(_segment(0xE1, _self_pointing_exif()))),
    ("JPEG whose Exif is noise", _jpeg(exif=b"Exif\0\0II*\0\xff\xff\xff\xff")),
    ("JPEG with half a megabyte of notes", _jpeg_with(*[_segment(0xFE, b"x" * 60_000)] * 9)),
    ("JPEG with a profile that is none", _jpeg(icc_profile=b"no profile")),
    ("JPEG with a script in its comment", _jpeg(comment=SCRIPT)),
    ("JPEG that is a ZIP too", _jpeg() + _zip()),
    ("JPEG that is a web page too", _jpeg() + b"<html>" + SCRIPT),
    ("JPEG that is a program too", _jpeg() + b"#!/bin/sh\nrm -rf /\n"),
    ("PNG with many notes", saved(quarters(), "PNG", pnginfo=_texts(400_000))),
]

HOSTILE: list[tuple[str, bytes, bool]] = [
    *((name, data, False) for name, data, _ in REFUSED),
    *((name, data, True) for name, data in TAKEN),
]
