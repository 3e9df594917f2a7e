"""The restore drill: fill, back up while something goes on writing, destroy, restore, verify. Run by .ci/restore-drill.

python -m tests.running.drill drill|write, with LEVELPEG_VAR and, for PostgreSQL, DATABASE_URL.
"""

# ruff: noqa: E402, T201 the settings come first; what is done is said

import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.running.drill_settings")

import django

django.setup()

from django.conf import settings
from django.core.files.storage import storages
from django.core.management import call_command
from django.db import connection, transaction
from django.utils import timezone

from handover.record.models import Record
from handover.rental.models import Rental
from shared.canonical import parse
from shared.files.store import keep, read
from shared.ids import uuid7
from shared.ledger import triggers
from shared.ledger.models import Entry
from shared.ledger.writing import append
from shared.running.backup.files import names
from tests.factories import PersonFactory, RentalFactory
from tests.playing import go

ROOT = Path(__file__).resolve().parents[2]


def play() -> None:
    """One rental that went out, its record sealed."""
    call_command("migrate", "--run-syncdb", verbosity=0)
    if settings.FILES_URL:
        storages["evidence"].bucket.create()
    with connection.schema_editor() as editor:
        triggers.install(None, editor)
    with transaction.atomic():
        rental = RentalFactory()
        tell(rental, "drill.booked", {})
    go(rental, PersonFactory(), diesel="82", odometer="41206 mi")
    assert Record.objects.get().state == Record.State.READY


def write() -> None:
    """Until it is stopped: a file, then an entry that names it. Says so for each that is acknowledged."""
    rental = Rental.objects.get()
    while True:
        name = keep(uuid7().bytes, suffix=".bin").name
        with transaction.atomic():
            tell(rental, "drill.kept", {"file": name})
        print(name, flush=True)


def tell(rental: Rental, kind: str, payload: dict[str, str]) -> None:
    append(chain=rental.pk, kind=kind, payload=payload, by=None, key=uuid7(), happened_at=timezone.now())


def destroy() -> None:
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("DROP SCHEMA public CASCADE; CREATE SCHEMA public")
    connection.close()
    if settings.FILES_URL:
        for name in list(names()):
            storages["evidence"].delete(name)
    for path in Path(settings.VAR_DIR).iterdir():
        if path.name != "demo-keys":  # the keys are apart, and so is their fate
            shutil.rmtree(path) if path.is_dir() else path.unlink()


def drill() -> None:
    began = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / "backup.tar"
        play()
        code = Record.objects.get().code
        before = while_writing(place)
        destroy()
        restore(place)
        kept = [parse(entry.payload)["file"] for entry in Entry.objects.filter(kind="drill.kept")]
        assert before <= len(kept), f"{len(kept)} entries came back of {before} that were there before the backup"
        for name in kept:
            read(name)
        assert Record.objects.get().code == code
        verify_record(Path(folder) / "record.pdf")
    print(f"Restored and verified on {connection.vendor} in {time.monotonic() - began:.0f} s.")


def while_writing(place: Path) -> int:
    """How many entries a process beside had written before the backup began; it goes on until the backup is made."""
    with subprocess.Popen(command("write"), stdout=subprocess.PIPE, text=True, cwd=ROOT) as beside:
        assert beside.stdout
        first = [beside.stdout.readline() for _ in range(20)]
        call_command("backup", str(place))
        assert beside.poll() is None, "what was to write beside the backup stopped"
        beside.kill()
        after = len(beside.stdout.readlines())
    assert after, "nothing was written while the backup was made"
    return len(first)


def restore(place: Path) -> None:
    """As an administrator does, in a process that knows of nothing before."""
    here = os.environ | {"DJANGO_SETTINGS_MODULE": "tests.running.drill_settings"}
    done = subprocess.run([sys.executable, "manage.py", "restore", str(place)], env=here, cwd=ROOT, check=False)
    if done.returncode:
        sys.exit("The restore failed.")


def verify_record(path: Path) -> None:
    path.write_bytes(read(Record.objects.get().file))
    call_command("verify_record", str(path))


def command(what: str) -> list[str]:
    return [sys.executable, "-m", "tests.running.drill", what]


if __name__ == "__main__":
    {"write": write, "drill": drill}[sys.argv[1]]()
