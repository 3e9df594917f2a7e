"""Bringing a backup back: first whether it is whole and there is room for it, then files, then the database."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from django.db import connection

from shared.running.backup import database, files
from shared.running.backup.manifest import Manifest, NoBackup, problems_of, read_manifest

SHOWN = 20


@dataclass(frozen=True, slots=True)
class Brought:
    manifest: Manifest
    files: int


def bring_back(folder: Path, *, over: bool, progress: files.Progress) -> Brought:
    """Files before the database that names them. Raises NoBackup before anything is touched."""
    manifest = read_manifest(folder)
    _check(folder, manifest, over=over)
    count = files.copy_in(folder, progress=progress)
    database.load(folder / manifest.database)
    return Brought(manifest, count)


def _check(folder: Path, manifest: Manifest, *, over: bool) -> None:
    if manifest.vendor != connection.vendor:
        raise NoBackup(
            f"This is a backup of {manifest.vendor}, and the settings name {connection.vendor}. Set DATABASE_URL to a "
            f"database of {manifest.vendor}."
        )
    if manifest.database != database.file_name():
        raise NoBackup(f"The manifest names {manifest.database!r} as the database; it is {database.file_name()}.")
    if problems := list(problems_of(folder, manifest)):
        more = [f"{len(problems) - SHOWN} more."] if len(problems) > SHOWN else []
        raise NoBackup(" ".join(["The backup is not whole, and nothing was restored.", *problems[:SHOWN], *more]))
    if not over and not (database.is_empty() and not files.any_file()):
        raise NoBackup(
            "Something is here already: the database has tables, or the store has files. Restore to an empty place, "
            "or say --over: the database is then replaced, and no file is deleted."
        )


def other_heads(folder: Path) -> Iterator[str]:
    """A sentence for each chain that does not end in the database as the backup says. Raises OSError."""
    stated, found = database.stated_heads(folder), {chain: head for chain, *head in database.heads()}
    for chain in sorted(stated.keys() | found.keys()):
        if list(stated.get(chain, ())) != list(found.get(chain, ())):
            yield f"Chain {chain} does not end where it ended when the backup was made."
