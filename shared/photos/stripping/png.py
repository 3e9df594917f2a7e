"""PNG (ISO/IEC 15948): chunks of length, type, data and check sum."""

import zlib
from collections.abc import Iterator

from shared.photos.stripping.malformed import Malformed

SIGNATURE = b"\x89PNG\r\n\x1a\n"
EXIF_HEAD = b"Exif\0\0"
# What is needed to show the picture and its colours; frames of an animation go, the picture itself stays.
KEPT = {b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"cICP", b"sBIT", b"pHYs"}


def strip(data: bytes, exif: bytes) -> bytes:
    """exif is an "Exif" block with its six-byte head, or empty. Raises Malformed."""
    kept = [SIGNATURE]
    for kind, chunk in _chunks(data):
        if kind in KEPT:
            kept.append(chunk)
        if kind == b"IHDR" and exif:
            kept.append(_chunk(b"eXIf", exif.removeprefix(EXIF_HEAD)))
    return b"".join(kept)


def exif_of(data: bytes) -> bytes:
    """The file's own "Exif" block, which may also stand after the picture; empty when there is none."""
    for kind, chunk in _chunks(data):
        if kind == b"eXIf":
            return EXIF_HEAD + chunk[8:-4]
    return b""


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Type and whole bytes of each chunk up to the last; what hangs on after it is not a part of the picture."""
    position, kind = len(SIGNATURE), b""
    while kind != b"IEND":
        end = position + 12 + int.from_bytes(data[position : position + 4])
        kind = data[position + 4 : position + 8]
        if end > len(data):
            raise Malformed("A chunk goes beyond the file.")
        yield kind, data[position:end]
        position = end


def _chunk(kind: bytes, content: bytes) -> bytes:
    return len(content).to_bytes(4) + kind + content + zlib.crc32(kind + content).to_bytes(4)
