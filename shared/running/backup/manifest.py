"""What a backup says of itself: manifest.json, and SHA256SUMS over every other file, in the form of sha256sum."""

import hashlib
import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

FORM = "levelpeg backup 1"
MANIFEST, SUMS, HEADS = "manifest.json", "SHA256SUMS", "ledger-heads.csv"
LINE = re.compile(r"([0-9a-f]{64})  (\S.*)")
BLOCK = 1 << 20


class NoBackup(ValueError):
    """Says in a sentence what is wrong with a backup."""


@dataclass(frozen=True, slots=True)
class Manifest:
    """`vendor` is of the database; `files` counts photos and records, None when they were left out; sizes in bytes."""

    form: str
    made_at: str
    vendor: str
    database: str
    entries: int
    chains: int
    files: int | None
    size: int
    migrations: Mapping[str, str]
    sums_sha256: str

    @property
    def moment(self) -> datetime:
        return datetime.fromisoformat(self.made_at)

    def write(self, folder: Path) -> None:
        (folder / MANIFEST).write_text(json.dumps(asdict(self), indent=2, sort_keys=True) + "\n")


def read_manifest(folder: Path) -> Manifest:
    """Raises NoBackup."""
    try:
        said: Any = json.loads((folder / MANIFEST).read_text())
        manifest = Manifest(**said)
        _moment = manifest.moment
    except FileNotFoundError:
        raise NoBackup(f"{folder} is no backup: it has no {MANIFEST}.") from None
    except (OSError, ValueError, TypeError) as fault:
        raise NoBackup(f"{folder / MANIFEST} cannot be read as that of a backup: {fault}") from fault
    if manifest.form != FORM:
        raise NoBackup(f"{folder} is a backup of another form, {manifest.form!r}; this program reads {FORM!r}.")
    return manifest


def write_sums(folder: Path) -> str:
    """Over every file that is there, in order; the digest of the list itself."""
    lines = [f"{digest_of(path)}  {path.relative_to(folder)}\n" for path in _files(folder)]
    (folder / SUMS).write_text("".join(lines))
    return digest_of(folder / SUMS)


def problems_of(folder: Path, manifest: Manifest) -> Iterator[str]:
    """A sentence for each part that is gone, altered, or not of the backup."""
    if not (folder / SUMS).is_file() or digest_of(folder / SUMS) != manifest.sums_sha256:
        yield f"{SUMS} is not the list that the manifest names."
        return
    stated = dict(_stated(line) for line in (folder / SUMS).read_text().splitlines())
    for name, digest in stated.items():
        path = folder / name
        if not path.is_file():
            yield f"{name} is missing."
        elif digest_of(path) != digest:
            yield f"{name} has changed since the backup was made."
    for path in _files(folder):
        if str(path.relative_to(folder)) not in stated:
            yield f"{path.relative_to(folder)} is no part of the backup."


def _stated(line: str) -> tuple[str, str]:
    """Name and digest."""
    match = LINE.fullmatch(line)
    return (match[2], match[1]) if match else (line, "")


def _files(folder: Path) -> Iterator[Path]:
    own = {folder / MANIFEST, folder / SUMS}
    return (path for path in sorted(folder.rglob("*")) if path.is_file() and path not in own)


def digest_of(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
