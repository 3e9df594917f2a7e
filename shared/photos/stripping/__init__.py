"""Freeing an original of everything but its picture, without decoding it.

Each format has one function strip(data, exif): the picture's own bytes stay as they are; metadata (place, comments,
thumbnails, maker's notes, what hangs on after the end) go; exif, a small block made here, comes in.
"""

from collections.abc import Callable

from shared.photos.stripping import heif, jpeg, png, webp

STRIP: dict[str, Callable[[bytes, bytes], bytes]] = {
    "JPEG": jpeg.strip,
    "PNG": png.strip,
    "WEBP": webp.strip,
    "HEIF": heif.strip,
}
