"""Making a backup: database, files, the list over both, and at last the manifest that names the list."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from django.db import connection

from shared.running.backup import database, files
from shared.running.backup.manifest import FORM, Manifest, write_sums
from shared.running.backup.place import made_at
from shared.running.models import Mark, mark


@dataclass(frozen=True, slots=True)
class Made:
    """`problems` are of files that were not what their names state, and were copied as they were."""

    manifest: Manifest
    problems: list[str]


def back_up(place: Path, *, now: datetime, with_files: bool = True, progress: files.Progress) -> Made:
    """Raises NoBackup, OSError; then there is nothing at `place`."""
    with made_at(place) as folder:
        database.dump(folder)
        count, problems = files.copy_out(folder, progress=progress) if with_files else (None, [])
        manifest = _manifest(folder, now, count)
        manifest.write(folder)
    mark(Mark.Of.BACKUP, at=now, files=count, size=manifest.size, place=str(place))
    return Made(manifest, problems)


def _manifest(folder: Path, now: datetime, count: int | None) -> Manifest:
    stated = database.stated_heads(folder)
    sums = write_sums(folder)
    return Manifest(
        form=FORM, made_at=now.isoformat(), vendor=connection.vendor, database=database.file_name(),
        entries=sum(sequence for sequence, _digest in stated.values()), chains=len(stated), files=count,
        size=sum(path.stat().st_size for path in folder.rglob("*") if path.is_file()),
        migrations=database.applied(), sums_sha256=sums,
    )  # fmt: skip
