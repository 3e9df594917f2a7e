"""A file that is larger than any photo is not collected: what comes after the limit is read and thrown away."""

from collections.abc import Mapping
from typing import Any

from django.conf import settings
from django.core.files.uploadhandler import FileUploadHandler, SkipFile, StopUpload
from django.http import HttpRequest
from django.utils.translation import gettext as _

from handover.walkround.page.trouble import Trouble

TOO_LARGE = "levelpeg.too_large"
# A browser reads its answer only after it has sent all; so many times the limit are waited for, more is cut off.
WAITED_FOR = 4
# Room for everything of a form that is no file.
FIELDS = 2**20


def too_large(typed: Mapping[str, str]) -> Trouble:
    most = settings.PHOTO_MAX_BYTES // 2**20
    sentence = _("This file has more than %(most)s MB. A photo up to %(most)s MB can be added.") % {"most": most}
    return Trouble(sentence, None, "photo", typed)


def is_too_long(request: HttpRequest, *, files: int) -> bool:
    """Whether more is announced than so many files can have: asked of a stranger before a byte is read."""
    return _announced(request) > files * settings.PHOTO_MAX_BYTES + FIELDS


def _announced(request: HttpRequest) -> int:
    """Bytes of the body; 0 where what is said is no number, as Django takes it."""
    said = str(request.META.get("CONTENT_LENGTH") or "")
    return int(said) if said.isascii() and said.isdecimal() and len(said) < 19 else 0


class CappedUpload(FileUploadHandler):
    """Stands before the handlers that keep files, so that they see no more than a photo can have.

    The view finds the name of such a field under TOO_LARGE in request.META.
    """

    chunk_size = 64 * 1024

    def new_file(self, *args: Any, **kwargs: Any) -> None:
        super().new_file(*args, **kwargs)
        self.read = 0

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes:
        self.read += len(raw_data)
        if self.read <= settings.PHOTO_MAX_BYTES:
            return raw_data
        assert self.request is not None  # noqa: S101 - Django sets it before it reads
        self.request.META[TOO_LARGE] = self.field_name
        if _announced(self.request) > WAITED_FOR * settings.PHOTO_MAX_BYTES:
            raise StopUpload(connection_reset=True)
        raise SkipFile

    def file_complete(self, file_size: int) -> None:
        return None
