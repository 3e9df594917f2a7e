"""Bytes that come in pieces and go on where they stopped. How many have come is what is there, so nothing can disagree.

In a folder of this machine a piece is appended to one file. Where files lie in a bucket each piece is an object named
by its offset: several machines take pieces of one photo, and what two of them wrote at once shows in the digest of the
whole, which is compared at the end either way.
"""

import fcntl
import os
from abc import ABC, abstractmethod
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from uuid import UUID

from django.conf import settings
from django.core.files.base import ContentFile
from django.core.files.storage import storages

from shared.files.away import StoreAway

FOLDER = "uploads"


class Part(ABC):
    """What has come under one key."""

    @property
    @abstractmethod
    def size(self) -> int:
        """In bytes, from the first without a gap; 0 when nothing has come."""

    @abstractmethod
    def opened(self) -> AbstractContextManager[None]:
        """For one writer of this machine at a time."""

    @abstractmethod
    def append(self, data: bytes) -> None:
        """On the disk or in the store when it returns."""

    @abstractmethod
    def whole(self) -> bytes:
        """Raises FileNotFoundError when nothing is there."""

    @abstractmethod
    def empty(self) -> None:
        """All is to come anew."""

    @abstractmethod
    def remove(self) -> None:
        """Nothing happens when nothing is there."""


def part(key: UUID) -> Part:
    """Where the settings keep files."""
    return InBucket(f"{FOLDER}/{key}/") if settings.FILES_URL else InFolder(Path(settings.UPLOADS_DIR) / f"{key}.part")


@dataclass(frozen=True, slots=True)
class InFolder(Part):
    path: Path

    @property
    def size(self) -> int:
        try:
            return self.path.stat().st_size
        except FileNotFoundError:
            return 0

    @contextmanager
    def opened(self) -> Iterator[None]:
        """Its folder knows of the file before anything is said to be kept."""
        self.path.parent.mkdir(parents=True, exist_ok=True)
        with _handle(self.path, os.O_RDWR | os.O_CREAT) as file:
            fcntl.flock(file, fcntl.LOCK_EX)
            with _handle(self.path.parent, os.O_RDONLY) as folder:
                os.fsync(folder)
            yield

    def append(self, data: bytes) -> None:
        """Raises StoreAway when the disk takes no more; what it took of the piece is counted as come."""
        try:
            with _handle(self.path, os.O_WRONLY | os.O_APPEND) as file:
                left = memoryview(data)
                while left:
                    left = left[os.write(file, left) :]
                os.fsync(file)
        except OSError as fault:
            raise StoreAway(str(fault)) from fault

    def whole(self) -> bytes:
        return self.path.read_bytes()

    def empty(self) -> None:
        """The same file, so that who waits for it writes to what is there."""
        with _handle(self.path, os.O_WRONLY | os.O_TRUNC) as file:
            os.fsync(file)

    def remove(self) -> None:
        self.path.unlink(missing_ok=True)


@contextmanager
def _handle(path: Path, flags: int) -> Iterator[int]:
    handle = os.open(path, flags, 0o600)
    try:
        yield handle
    finally:
        os.close(handle)


@dataclass(frozen=True, slots=True)
class InBucket(Part):
    under: str

    @property
    def size(self) -> int:
        return sum(size for _name, size in self._pieces())

    @contextmanager
    def opened(self) -> Iterator[None]:
        yield

    def append(self, data: bytes) -> None:
        _bucket().save(f"{self.under}{self.size:012}", ContentFile(data))

    def whole(self) -> bytes:
        names = [name for name, _size in self._pieces()]
        if not names:
            raise FileNotFoundError(self.under)
        return b"".join(_bucket().open(name).read() for name in names)

    def empty(self) -> None:
        self.remove()

    def remove(self) -> None:
        for name, _size in list(_bucket().sizes(self.under)):
            _bucket().delete(name)

    def _pieces(self) -> Iterator[tuple[str, int]]:
        """Name and size of each that follows the one before; an object that is listed late ends them."""
        end = 0
        for name, size in _bucket().sizes(self.under):
            if int(name.rpartition("/")[2]) != end:
                return
            end += size
            yield name, size


def _bucket() -> Any:
    """An ObjectStorage, whose library is loaded only where files lie in one."""
    return storages["default"]
