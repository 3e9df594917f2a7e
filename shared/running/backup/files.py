"""Photos and records out of the store into a folder, and back; from a folder of this machine or a bucket alike."""

from collections.abc import Callable, Iterator
from pathlib import Path

from django.core.files.base import ContentFile
from django.core.files.storage import Storage, storages

from shared.canonical import sha256_hex
from shared.files.store import NAME, keep

FOLDER = "evidence"
Progress = Callable[[], None]


def names() -> Iterator[str]:
    """Of every kept file in the store, in order. A file that is just being written has no such name."""
    return (name for name in _walk(storages["evidence"], "") if NAME.fullmatch(name))


def any_file() -> bool:
    return next(names(), None) is not None


def copy_out(folder: Path, *, progress: Progress) -> tuple[int, list[str]]:
    """How many were copied, and a sentence for each that is not what its name states (it is copied as it is)."""
    count, problems = 0, []
    for name in names():
        try:
            with storages["evidence"].open(name) as file:
                data = file.read()
        except FileNotFoundError:
            continue  # erased by schedule since its name was read
        if not name.split("/")[2].startswith(sha256_hex(data)):
            problems.append(f"The file {name} is not what was kept: its bytes have changed.")
        path = folder / FOLDER / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
        count += 1
        progress()
    return count, problems


def copy_in(folder: Path, *, progress: Progress) -> int:
    """How many were put into the store. One that is there already under its digest stays as it is."""
    count = 0
    for path in sorted((folder / FOLDER).rglob("*")):
        if path.is_file():
            _put(str(path.relative_to(folder / FOLDER)), path.read_bytes())
            count += 1
            progress()
    return count


def _put(name: str, data: bytes) -> None:
    """What was altered before the backup goes in as it was then: verify_files names it."""
    if name.split("/")[2].startswith(sha256_hex(data)):
        keep(data, suffix=Path(name).suffix)
    elif not storages["evidence"].exists(name):
        storages["evidence"].save(name, ContentFile(data))


def _walk(store: Storage, folder: str) -> Iterator[str]:
    if hasattr(store, "names"):  # a bucket tells all its names in one go
        yield from store.names(folder)
        return
    try:
        folders, files = store.listdir(folder)
    except FileNotFoundError:
        return
    yield from (f"{folder}/{name}".lstrip("/") for name in sorted(files))
    for name in sorted(folders):
        yield from _walk(store, f"{folder}/{name}".lstrip("/"))
