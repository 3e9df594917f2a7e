"""The database in one file, as it stands at one moment, while others go on writing; and back."""

import csv
import os
import shutil
import sqlite3
import subprocess
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

from django.db import connection
from django.db.migrations.recorder import MigrationRecorder

from shared.running.backup.manifest import HEADS, NoBackup

FILES = {"sqlite": "database.sqlite3", "postgresql": "database.pgdump"}
HEADS_SQL = "SELECT chain, sequence, digest FROM shared_chainhead ORDER BY chain"


def file_name() -> str:
    """Raises NoBackup for another database."""
    try:
        return FILES[connection.vendor]
    except KeyError:
        raise NoBackup(f"A backup is made of SQLite or PostgreSQL, not of {connection.vendor}.") from None


def dump(folder: Path) -> None:
    """The database, and beside it the heads of its chains at that moment. Raises NoBackup."""
    target = folder / file_name()
    (_dump_sqlite if connection.vendor == "sqlite" else _dump_postgresql)(target)


def load(file: Path) -> None:
    """In place of what is there; connections of this process are closed. Raises NoBackup."""
    (_load_sqlite if connection.vendor == "sqlite" else _load_postgresql)(file)


def is_empty() -> bool:
    """Whether there is no table yet."""
    return not connection.introspection.table_names()


def applied() -> dict[str, str]:
    """The last migration of each app."""
    rows = sorted(MigrationRecorder(connection).applied_migrations())
    return dict(rows)


def heads() -> Iterator[tuple[str, int, str]]:
    """Of the chains as they are in the database now."""
    with connection.cursor() as cursor:
        cursor.execute(HEADS_SQL)
        yield from ((_plain(chain), sequence, digest) for chain, sequence, digest in cursor.fetchall())


def stated_heads(folder: Path) -> dict[str, tuple[int, str]]:
    """By chain, as they were at the backup."""
    with (folder / HEADS).open(newline="") as file:
        return {chain: (int(sequence), digest) for chain, sequence, digest in csv.reader(file)}


def _write_heads(folder: Path, rows: Iterable[tuple[Any, int, str]]) -> None:
    with (folder / HEADS).open("w", newline="") as file:
        csv.writer(file).writerows((_plain(chain), sequence, digest) for chain, sequence, digest in rows)


def _plain(chain: Any) -> str:
    """SQLite keeps a UUID without its hyphens."""
    return str(chain).replace("-", "")


def _dump_sqlite(target: Path) -> None:
    """By SQLite's online backup: one moment, and nobody waits."""
    connection.ensure_connection()
    with closing(sqlite3.connect(target)) as copy:
        connection.connection.backup(copy)
        copy.execute("PRAGMA journal_mode=DELETE")
        (found,) = copy.execute("PRAGMA quick_check(1)").fetchone()
        if found != "ok":
            raise NoBackup(f"The database is damaged, and so is its copy: {found}.")
        _write_heads(target.parent, copy.execute(HEADS_SQL))


def _load_sqlite(file: Path) -> None:
    """Renamed into its place when its bytes are on the disk; what was there before stays beside it as …before."""
    place = Path(str(connection.settings_dict["NAME"]))
    connection.close()
    place.parent.mkdir(mode=0o750, parents=True, exist_ok=True)
    draft = place.with_name(f".{place.name}.restoring")
    shutil.copyfile(file, draft)
    draft.chmod(0o600)
    with draft.open("rb") as copied:
        os.fsync(copied.fileno())
    for end in ("", "-wal", "-shm"):
        before = place.with_name(place.name + end)
        if before.exists() and before.stat().st_size:
            before.replace(place.with_name(f"{place.name}.before{end}"))
        else:
            before.unlink(missing_ok=True)
    draft.replace(place)


def _dump_postgresql(target: Path) -> None:
    """By pg_dump on a snapshot that this connection holds, so that the heads are of the same moment."""
    with _snapshot() as (snapshot, cursor):
        _run("pg_dump", "--format=custom", "--no-owner", "--no-acl", f"--snapshot={snapshot}", f"--file={target}")
        cursor.execute(HEADS_SQL)
        _write_heads(target.parent, cursor.fetchall())


@contextmanager
def _snapshot() -> Iterator[tuple[str, Any]]:
    """On a connection of its own, so that no other transaction is under way in it."""
    params = connection.get_connection_params()
    own_connection = connection.Database.connect(**params)  # type: ignore[attr-defined]
    with closing(own_connection) as own, own.cursor() as cursor:
        cursor.execute("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY")
        cursor.execute("SET LOCAL statement_timeout = 0")
        cursor.execute("SELECT pg_export_snapshot()")
        yield cursor.fetchone()[0], cursor
        cursor.execute("COMMIT")


def _load_postgresql(file: Path) -> None:
    """All of it or nothing, in one transaction."""
    connection.close()
    _run(
        "pg_restore", "--clean", "--if-exists", "--no-owner", "--no-acl", "--single-transaction", "--exit-on-error",
        f"--dbname={connection.settings_dict['NAME']}", str(file),
    )  # fmt: skip


def _run(program: str, *arguments: str) -> None:
    """With where the database is in the environment: a command line is seen by everybody on the machine."""
    said = connection.settings_dict
    names = {"PGHOST": "HOST", "PGPORT": "PORT", "PGUSER": "USER", "PGPASSWORD": "PASSWORD", "PGDATABASE": "NAME"}
    where = {name: str(said[key]) for name, key in names.items() if said.get(key)}
    try:
        subprocess.run(  # noqa: S603 a program of PostgreSQL's, with names that are ours
            [_program(program), *arguments], env=os.environ | where, check=True, capture_output=True, text=True
        )
    except subprocess.CalledProcessError as fault:
        raise NoBackup(f"{program} did not do it: {fault.stderr.strip()[:500]}") from fault


def _program(name: str) -> str:
    """Debian keeps each version in a folder of its own; the newest reads and writes for all before it."""
    versions = sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{name}"), key=lambda path: float(path.parts[4]))
    found = str(versions[-1]) if versions else shutil.which(name)
    if found is None:
        raise NoBackup(f"{name} is not installed. It comes with PostgreSQL's client: apt-get install postgresql-client")
    return found
