"""JPEG (ITU-T T.81): segments up to the end of the picture."""

import re

from shared.photos.stripping.malformed import Malformed

START, END = b"\xff\xd8", b"\xff\xd9"
EOI, SOS, COM = 0xD9, 0xDA, 0xFE
# A marker that is neither a stuffed zero, a restart, nor a fill byte.
MARKER = re.compile(rb"\xff[\x02-\xcf\xd8-\xfe]")
# What a decoder needs to show the right colours.
KEPT_APPLICATION_DATA = {0xE0: b"JFIF\0", 0xE2: b"ICC_PROFILE\0", 0xEE: b"Adobe"}


def strip(data: bytes, exif: bytes) -> bytes:
    """exif is an "Exif" block with its six-byte head, or empty. Raises Malformed."""
    kept = [START]
    if exif:
        kept.append(b"\xff\xe1" + (len(exif) + 2).to_bytes(2) + exif)
    position = len(START)
    while True:
        marker, position = _next_marker(data, position)
        if marker == EOI:
            kept.append(END)
            return b"".join(kept)
        end = _segment_end(data, position)
        if _is_kept(marker, data[position + 2 : position + 16]):
            kept.append(data[position - 2 : end])
        position = end
        if marker == SOS:
            position = _next_marker(data, end)[1] - 2
            kept.append(data[end:position])


def _next_marker(data: bytes, position: int) -> tuple[int, int]:
    """The marker and the position after it; bytes between segments are passed over, as decoders do."""
    match = MARKER.search(data, position)
    if match is None:
        raise Malformed("No end of the picture.")
    return match[0][1], match.end()


def _segment_end(data: bytes, position: int) -> int:
    length = int.from_bytes(data[position : position + 2])
    if length < 2 or position + length > len(data):
        raise Malformed("A segment goes beyond the file.")
    return position + length


def _is_kept(marker: int, head: bytes) -> bool:
    if marker == COM:
        return False
    if 0xE0 <= marker <= 0xEF:
        return marker in KEPT_APPLICATION_DATA and head.startswith(KEPT_APPLICATION_DATA[marker])
    return True
