"""Keeping and reading content-addressed files, wherever the "evidence" storage puts them."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from errno import ENOENT

from django.core.files.base import ContentFile
from django.core.files.storage import Storage, storages

from shared.canonical import sha256_hex
from shared.files.away import StoreAway

NAME = re.compile(r"([0-9a-f]{2})/([0-9a-f]{2})/(\1\2[0-9a-f]{60})(\.[a-z0-9]{1,8})?")


class Altered(ValueError):
    """The bytes of a file are not the ones its name states."""


class NotAName(ValueError):
    """A text that names no content-addressed file."""


@dataclass(frozen=True)
class StoredFile:
    """A kept file. name is ab/cd/<sha256><suffix>, size is in bytes."""

    sha256: str
    name: str
    size: int


def keep(data: bytes, *, suffix: str = "") -> StoredFile:
    """Keep bytes under the name that states them; the same bytes are written once.

    suffix is a lower-case ending with its point, such as .jpg. An altered file of that name is written anew: the bytes
    at hand are the ones it states. Raises NotAName for another kind of suffix, StoreAway when nothing is kept.
    """
    sha256 = sha256_hex(data)
    name = _checked(f"{sha256[:2]}/{sha256[2:4]}/{sha256}{suffix}")
    with _answering():
        if not _holds(name, sha256):
            _storage().save(name, ContentFile(data))
    return StoredFile(sha256=sha256, name=name, size=len(data))


def read(name: str) -> bytes:
    """The bytes of a kept file.

    Raises Altered when they are not the ones its name states, FileNotFoundError with its name, NotAName, StoreAway.
    """
    try:
        with _answering(), _storage().open(_checked(name)) as file:
            data: bytes = file.read()
    except FileNotFoundError as gone:
        raise FileNotFoundError(ENOENT, "This kept file is not there", name) from gone
    if sha256_hex(data) != stated_sha256(name):
        raise Altered(f"The file {name} is not what was kept: its bytes have changed.")
    return data


def remove(name: str) -> None:
    """Remove a kept file; nothing happens when it is not there. Whether a row still needs it, the caller knows."""
    _storage().delete(_checked(name))


def stated_sha256(name: str) -> str:
    """The digest in a file's name. Raises NotAName."""
    match = NAME.fullmatch(name)
    if match is None:
        raise NotAName(f"{name!r} is not the name of a kept file: ab/cd/, 64 digits of its SHA-256 and an ending.")
    return match[3]


def _checked(name: str) -> str:
    stated_sha256(name)
    return name


def _holds(name: str, sha256: str) -> bool:
    """Whether the file is there with the right bytes."""
    try:
        with _storage().open(name) as file:
            return sha256_hex(file.read()) == sha256
    except FileNotFoundError:
        return False


@contextmanager
def _answering() -> Iterator[None]:
    """A full disk, a folder that may not be read: what any store may say is told in one way."""
    try:
        yield
    except (FileNotFoundError, StoreAway):
        raise
    except OSError as fault:
        raise StoreAway(str(fault)) from fault


def _storage() -> Storage:
    return storages["evidence"]
