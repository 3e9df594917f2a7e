"""Files in an S3 store, for several machines that share them. Whatever its library raises is told as StoreAway."""

import base64
import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from botocore.config import Config
from botocore.exceptions import BotoCoreError, ClientError
from django.core.files.base import ContentFile, File
from django.utils.deconstruct import deconstructible
from storages.backends.s3 import S3Storage

from shared.files.address import object_store
from shared.files.away import StoreAway

GONE = frozenset({"404", "NoSuchKey", "NotFound"})


@deconstructible(path="shared.files.objects.ObjectStorage")
class ObjectStorage(S3Storage):  # type: ignore[misc]
    """django-storages' S3, set up by one address: s3://key:secret@host:port/bucket?…"""

    def __init__(self, address: str, *, timeout_s: float = 10, attempts: int = 3) -> None:
        """`timeout_s` is what one try to connect, or to read on, may take."""
        store = object_store(address)
        super().__init__(
            access_key=store.key, secret_key=store.secret, endpoint_url=store.endpoint, bucket_name=store.bucket,
            region_name=store.region, location=store.prefix, querystring_auth=True, default_acl=None,
            client_config=_config(store.addressing, timeout_s, attempts),
        )  # fmt: skip

    def _open(self, name: str, mode: str = "rb") -> "File[bytes]":
        """Whole and in one request: files are photos and records, and reading on fails no more."""
        if mode != "rb":
            raise ValueError(f"A kept file is opened to be read, not as {mode!r}.")
        with _told():
            data = self.bucket.Object(self._normalize_name(name)).get()["Body"].read()
        return ContentFile(data, name=name)

    def exists(self, name: str) -> bool:
        with _told():
            return bool(super().exists(name))

    def delete(self, name: str) -> None:
        with _told():
            super().delete(name)

    def size(self, name: str) -> int:
        with _told():
            return int(super().size(name))

    def listdir(self, path: str) -> tuple[list[str], list[str]]:
        with _told():
            folders, files = super().listdir(path)
            return folders, files

    def names(self, under: str = "") -> Iterator[str]:
        """Every name in the bucket that begins with `under`, in order."""
        return (name for name, _size in self.sizes(under))

    def sizes(self, under: str = "") -> Iterator[tuple[str, int]]:
        """The same with their sizes in bytes."""
        prefix = f"{self.location}/{under}" if self.location else under
        with _told():
            for one in self.bucket.objects.filter(Prefix=prefix):
                yield (one.key[len(self.location) + 1 :] if self.location else one.key), one.size

    def _save(self, name: str, content: "File[bytes]") -> str:
        """In one request under its digest: the store takes all of it and says so, or nothing of it."""
        data = b"".join(content.chunks())
        digest = base64.b64encode(hashlib.md5(data, usedforsecurity=False).digest()).decode()
        cleaned = self._normalize_name(name)
        with _told():
            self.bucket.Object(cleaned).put(Body=data, ContentMD5=digest, **self._get_write_parameters(name, content))
        return name


@deconstructible(path="shared.files.objects.ObjectEvidenceStorage")
class ObjectEvidenceStorage(ObjectStorage):
    """The name states the content, so what stands there under it is the same, or altered and made good."""

    def get_available_name(self, name: str, max_length: int | None = None) -> str:
        return name


def _config(addressing: str, timeout_s: float, attempts: int) -> Config:
    """Checksums beyond those of S3 itself only where asked for: not every store knows them."""
    return Config(
        s3={"addressing_style": addressing},
        signature_version="s3v4",
        connect_timeout=timeout_s,
        read_timeout=timeout_s,
        retries={"total_max_attempts": attempts, "mode": "standard"},
        request_checksum_calculation="when_required",
        response_checksum_validation="when_required",
    )


@contextmanager
def _told() -> Iterator[None]:
    try:
        yield
    except ClientError as fault:
        if _code(fault) in GONE:
            raise FileNotFoundError(str(fault)) from fault
        raise StoreAway(str(fault)) from fault
    except BotoCoreError as fault:
        raise StoreAway(str(fault)) from fault


def _code(fault: ClientError) -> Any:
    return fault.response.get("Error", {}).get("Code")
