"""A photo that somebody sent: refused in a sentence, or its files kept and its columns ready for a row.

Before any transaction: decoding would hold the database for a second, and a file whose row is never written is only a
file too many.
"""

from dataclasses import dataclass
from datetime import datetime

from django.conf import settings
from django.utils.translation import gettext as _

from handover.acting import CannotBe
from handover.photo.sent import NOTHING_SAID, Sent
from shared.files.store import StoredFile, keep
from shared.photos.aside import ingest_aside
from shared.photos.ingest import NotAPhoto, Photo
from shared.phrasebook import said

SUFFIXES = {"image/jpeg": ".jpg", "image/png": ".png", "image/webp": ".webp", "image/heif": ".heic"}


@dataclass(frozen=True, slots=True)
class TakenIn:
    """A photo whose files are kept; its row is still to be written. The fields are the columns of a KeptPhoto."""

    sent_sha256: str
    kept_sha256: str
    original: str
    display: str
    thumb: str
    taken_at: datetime | None


def take_in(data: bytes, *, zone: str) -> TakenIn:
    """`zone` is where the camera's clock is read. Raises CannotBe."""
    return taken(photo_of(data, zone=zone))


def taken(photo: Photo) -> TakenIn:
    """Its files are kept now. Of several photos look at each before the first is kept."""
    original, display, thumb = keep_files(photo)
    return TakenIn(photo.sent_sha256, original.sha256, original.name, display.name, thumb.name, photo.taken_at)


def photo_of(data: bytes, *, zone: str, sent: Sent = NOTHING_SAID) -> Photo:
    """Raises CannotBe with the sentence why this is no photo, or not the one that was announced."""
    if len(data) > settings.PHOTO_MAX_BYTES:
        most = settings.PHOTO_MAX_BYTES // 2**20
        raise CannotBe(
            _("This file has %(count)s MB. A photo up to %(most)s MB can be added.")
            % {"count": len(data) // 2**20, "most": most},
            "photo",
        )
    sent.check(data)
    try:
        return ingest_aside(data, zone=zone)
    except NotAPhoto as problem:
        raise CannotBe(said(str(problem)), "photo") from problem


def keep_files(photo: Photo) -> tuple[StoredFile, StoredFile, StoredFile]:
    """Original, display copy, thumbnail."""
    original = keep(photo.original, suffix=SUFFIXES[photo.content_type])
    return original, keep(photo.display, suffix=".jpg"), keep(photo.thumb, suffix=".jpg")
