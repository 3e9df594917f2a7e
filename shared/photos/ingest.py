"""Taking in a photo: what was sent becomes an original without its place, a display copy and a thumbnail.

Two digests are made. That of the bytes as sent proves a copy the sender kept; that of the original as kept proves the
stored file. Between them lies the removal of metadata alone: the picture's own data are the same, byte for byte.
"""

from dataclasses import dataclass
from datetime import datetime
from io import BytesIO

import pillow_heif
from PIL import Image, ImageFile

from shared.canonical import sha256_hex
from shared.photos.metadata import Metadata, metadata_of
from shared.photos.refusing import MAX_PIXELS, NotAPhoto, damaged, far_too_large, photo_format, too_large
from shared.photos.stripping import STRIP, png
from shared.photos.upright import display_and_thumb

__all__ = ["NotAPhoto", "Photo", "ingest"]

pillow_heif.register_heif_opener()

CONTENT_TYPES = {"JPEG": "image/jpeg", "PNG": "image/png", "WEBP": "image/webp", "HEIF": "image/heif"}


@dataclass(frozen=True)
class Photo:
    """A photo taken in.

    width and height are of the original held upright; taken_at is by the camera's clock, in UTC; original carries no
    metadata but orientation and time; display and thumb are JPEGs with a long edge of up to 1280 and 320 pixels.
    """

    sent_sha256: str
    kept_sha256: str
    content_type: str
    width: int
    height: int
    taken_at: datetime | None
    original: bytes
    display: bytes
    thumb: bytes


def ingest(data: bytes, *, zone: str | None = None) -> Photo:
    """The photo in the bytes of an uploaded file; its name and ending say nothing.

    zone is where the camera's clock is read when the camera states no offset. Raises NotAPhoto.
    """
    name = photo_format(data)
    # WeasyPrint, in the same process, tells Pillow to accept files that end early; a photo that does is refused.
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        with Image.open(BytesIO(data), formats=(name,)) as sent:
            _check_size(sent)
            metadata = _metadata(sent, name, data)
            original = STRIP[name](data, metadata.block())
        with Image.open(BytesIO(original), formats=(name,)) as image:
            width, height = image.size[::-1] if metadata.on_a_side else image.size
            display, thumb = display_and_thumb(image, metadata.orientation)
    except NotAPhoto:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise far_too_large() from error
    except Exception as error:  # a decoder may raise anything at hostile bytes
        raise damaged(name) from error
    return Photo(
        sent_sha256=sha256_hex(data),
        kept_sha256=sha256_hex(original),
        content_type=CONTENT_TYPES[name],
        width=width,
        height=height,
        taken_at=metadata.taken_at(zone),
        original=original,
        display=display,
        thumb=thumb,
    )


def _check_size(image: Image.Image) -> None:
    """Before anything is decoded; Pillow itself would only warn up to 179 megapixels."""
    if image.width * image.height > MAX_PIXELS:
        raise too_large(image.width, image.height)


def _metadata(image: Image.Image, name: str, data: bytes) -> Metadata:
    """Of a file as sent. A HEIF decoder turns the picture itself and says so; of a PNG the block is read here,
    since Pillow would decode the picture to find one that stands after it."""
    try:
        exif = Image.Exif() if name == "PNG" else image.getexif()
        if name == "PNG" and (block := png.exif_of(data)):
            exif.load(block)
        return metadata_of(exif)
    except Exception:  # a damaged block is no reason to refuse the picture beside it
        return Metadata()
