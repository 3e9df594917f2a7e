"""Bytes of a photo that come in chunks, and go on where they stopped: what is there is what has come."""

from dataclasses import dataclass
from uuid import UUID

from django.conf import settings
from django.utils import timezone
from django.utils.translation import gettext as _

from handover.acting import CannotBe
from handover.tablet.models import Upload
from handover.tablet.waiting import Waiting
from shared.access.models import Person
from shared.canonical import sha256_hex
from shared.files.parts import Part, part

MOST_IN_A_CHUNK = 1024 * 1024
# A tablet that sends wrong bytes so often sends them for ever.
MOST_MISMATCHES = 3


class NotThere(Exception):
    """A chunk that does not begin where the bytes end, or is not the one it says; `offset` is where to go on."""

    def __init__(self, offset: int) -> None:
        super().__init__(offset)
        self.offset = offset


@dataclass(frozen=True, slots=True)
class Chunk:
    """`sha256` of the chunk's own bytes."""

    offset: int
    data: bytes
    sha256: str


def begin_upload(key: UUID, *, size: int, sha256: str, by: Person) -> Upload:
    """Its row, made with the first chunk. Raises CannotBe for what is too large, before anything of it is read."""
    upload, _made = Upload.objects.get_or_create(pk=key, defaults={"size": size, "sha256": sha256, "by": by})
    if size > settings.PHOTO_MAX_BYTES and not upload.refused:
        upload.refused = _too_large(size)
        upload.save(update_fields=["refused"])
    if not upload.refused and (upload.size, upload.sha256) != (size, sha256):
        raise CannotBe(_("This key already stands for another photo. Take it once more."))
    if upload.refused:
        raise CannotBe(upload.refused, "photo")
    return upload


def _too_large(size: int) -> str:
    most = settings.PHOTO_MAX_BYTES // 2**20
    return _("This file has %(size)s MB. A photo up to %(most)s MB can be added.") % {
        "size": size // 2**20,
        "most": most,
    }


def offset_of(key: UUID) -> int:
    return part(key).size


def is_whole(key: UUID) -> bool:
    return Upload.objects.filter(pk=key, whole_at__isnull=False).exists()


def take_chunk(upload: Upload, chunk: Chunk) -> int:
    """Where to go on. On the disk before it is acknowledged. Raises NotThere, CannotBe after too many mismatches."""
    if upload.whole_at:
        return upload.size
    if sha256_hex(chunk.data) != chunk.sha256 or chunk.offset + len(chunk.data) > upload.size:
        raise NotThere(offset_of(upload.pk))
    come = part(upload.pk)
    with come.opened():
        if come.size != chunk.offset:
            raise NotThere(come.size)
        come.append(chunk.data)
        if chunk.offset + len(chunk.data) == upload.size:
            _check(upload, come)
    return chunk.offset + len(chunk.data)


def _check(upload: Upload, come: Part) -> None:
    """All have come: are they the bytes that were meant? A torn write shows here, and all is sent again."""
    if sha256_hex(come.whole()) == upload.sha256:
        upload.whole_at = timezone.now()
        upload.save(update_fields=["whole_at"])
        return
    come.empty()
    upload.mismatches += 1
    if upload.mismatches >= MOST_MISMATCHES:
        upload.refused = _("The photo did not arrive as it was taken. Take it once more.")
    upload.save(update_fields=["mismatches", "refused"])
    if upload.refused:
        raise CannotBe(upload.refused, "photo")
    raise NotThere(0)


def bytes_of(key: UUID, size: str) -> bytes:
    """Of a photo whose entry has come. Raises Waiting until all are here, CannotBe for what was refused."""
    if len(size) < 16 and size.isdecimal() and int(size) > settings.PHOTO_MAX_BYTES:
        raise CannotBe(_too_large(int(size)), "photo")
    upload = Upload.objects.filter(pk=key).first()
    if upload is None or not (upload.whole_at or upload.refused):
        raise Waiting
    if upload.refused:
        raise CannotBe(upload.refused, "photo")
    try:
        return part(key).whole()
    except FileNotFoundError as problem:
        # The row of a restored database knows of a file that is gone: the tablet still has it.
        upload.delete()
        raise Waiting from problem


def forget(key: UUID) -> None:
    """The photo is kept under its digest, or refused: nothing asks for the part file again."""
    part(key).remove()
