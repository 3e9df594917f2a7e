"""The ZIP: parts one after the other, each with its SHA-256 in the manifest and in SHA256SUMS."""

import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, BinaryIO
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

from shared.canonical import sha256_hex

SCHEMA = "levelpeg.bundle/1"
SQUEEZED = ("jsonl", "json", "txt", "pem", "SHA256SUMS")
# What the format itself takes for one file, with a long name, twice.
OVERHEAD = 400


@dataclass(frozen=True, slots=True)
class Part:
    """One file: its name in the folder, and what gives its bytes when its turn has come."""

    name: str
    data: Callable[[], bytes]


@dataclass(slots=True)
class Packed:
    """What went in: name, SHA-256 and size of each."""

    files: list[dict[str, Any]] = field(default_factory=list)

    def note(self, name: str, data: bytes) -> None:
        self.files.append({"name": name, "sha256": sha256_hex(data), "size": len(data)})


def pack(target: BinaryIO, parts: Sequence[Part], about: dict[str, Any], *, at: datetime) -> str:
    """Write the bundle, one part in memory at a time; the SHA-256 of its manifest. Same parts, same bytes."""
    packed = Packed()
    with ZipFile(target, "w") as folder:
        for part in parts:
            data = part.data()
            packed.note(part.name, data)
            _write(folder, part.name, data, at)
        manifest = manifest_of(packed, about)
        _write(folder, "manifest.json", manifest, at)
        packed.note("manifest.json", manifest)
        _write(folder, "SHA256SUMS", "".join(_sums(packed)).encode(), at)
    return sha256_hex(manifest)


def manifest_of(packed: Packed, about: dict[str, Any]) -> bytes:
    whole = {"schema": SCHEMA, **about, "files": packed.files}
    return (json.dumps(whole, ensure_ascii=False, indent=1, sort_keys=True) + "\n").encode()


def _sums(packed: Packed) -> Iterator[str]:
    """As sha256sum -c reads it."""
    return (f"{row['sha256']}  {row['name']}\n" for row in packed.files)


def _write(folder: ZipFile, name: str, data: bytes, at: datetime) -> None:
    """With the time of the order, so that packing again gives the same bytes."""
    entry = ZipInfo(name, date_time=(at.year, at.month, at.day, at.hour, at.minute, at.second))
    entry.compress_type = ZIP_DEFLATED if name.endswith(SQUEEZED) else ZIP_STORED
    entry.external_attr = 0o644 << 16
    folder.writestr(entry, data)
