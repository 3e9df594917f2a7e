"""Where a backup lies: a folder, or one .tar file of it. It is there whole under its name, or not at all."""

import os
import re
import shutil
import tarfile
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from shared.running.backup.manifest import NoBackup

DATED = re.compile(r"\d{4}-\d{2}-\d{2}T\d{6}Z")


def dated(folder: Path, now: datetime) -> Path:
    """`now` in UTC."""
    return folder / f"{now:%Y-%m-%dT%H%M%SZ}"


def drop_oldest(folder: Path, *, keep: int) -> list[Path]:
    """Of the dated backups in a folder all but the newest `keep`; what has another name is left alone."""
    found = sorted(path for path in folder.iterdir() if path.is_dir() and DATED.fullmatch(path.name))
    gone = found[: max(0, len(found) - keep)]
    for path in gone:
        shutil.rmtree(path)
    return gone


@contextmanager
def made_at(place: Path) -> Iterator[Path]:
    """A folder to fill, which becomes `place` when nothing went wrong. Only its owner may read it. Raises NoBackup."""
    if place.exists() and not (place.is_dir() and not any(place.iterdir())):
        raise NoBackup(f"{place} is there already. Name a place that is not, or an empty folder.")
    place.parent.mkdir(parents=True, exist_ok=True)
    draft = Path(tempfile.mkdtemp(prefix=f".{place.name}.", dir=place.parent))
    before = os.umask(0o077)
    try:
        yield draft
        _move(draft, place)
        os.sync()
    finally:
        os.umask(before)
        shutil.rmtree(draft, ignore_errors=True)


def _move(draft: Path, place: Path) -> None:
    if place.suffix == ".tar":
        packed = draft.with_name(f"{draft.name}.tar")
        try:
            with tarfile.open(packed, "w") as file:
                file.add(draft, arcname=".")
            packed.replace(place)
        finally:
            packed.unlink(missing_ok=True)
    else:
        draft.replace(place)


@contextmanager
def opened(place: Path) -> Iterator[Path]:
    """The backup as a folder. A .tar is unpacked beside itself meanwhile. Raises NoBackup."""
    if place.is_dir():
        yield place
        return
    if not place.is_file():
        raise NoBackup(f"There is no backup at {place}.")
    with tempfile.TemporaryDirectory(prefix=".restoring.", dir=place.parent) as unpacked:
        try:
            with tarfile.open(place) as file:
                file.extractall(unpacked, filter="data")
        except tarfile.TarError as fault:
            raise NoBackup(f"{place} cannot be unpacked: {fault}") from fault
        yield Path(unpacked)
