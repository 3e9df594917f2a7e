"""What keeps things: the database with its triggers, the store, the ledger's seals and checks, backups, tasks."""

from collections.abc import Iterator
from datetime import timedelta
from secrets import token_bytes

from django.conf import settings
from django.db import connection
from django.utils import timezone

from shared.files.store import keep, read, remove
from shared.ledger import triggers
from shared.ledger.days import days_to_seal
from shared.running.doctor.finding import Finding
from shared.running.health import WORKER_IS_AWAY, pending_migrations
from shared.running.models import Mark, last
from shared.running.tasks import are_handed_to_a_worker, counts, oldest_ready, stale

BACKUP_EVERY, LEDGER_EVERY = timedelta(hours=26), timedelta(days=8)


def migrations() -> Iterator[Finding]:
    if waiting := pending_migrations():
        yield Finding(
            "migrations", f"The tables are of an earlier version: {len(waiting)} changes wait, the first {waiting[0]}.",
            "Run manage.py migrate.",
        )  # fmt: skip


def ledger_triggers() -> Iterator[Finding]:
    if absent := triggers.missing(connection):
        yield Finding(
            "triggers", f"The database does not refuse changes of the ledger: {', '.join(absent)} missing.",
            "Find out who took them away, run manage.py verify_ledger, and restore the last backup that has them.",
        )  # fmt: skip


def durability() -> Iterator[Finding]:
    """An entry that was acknowledged is forgotten by the tablet: it must survive a power cut."""
    said = _asked("PRAGMA journal_mode") if connection.vendor == "sqlite" else ""
    if said and said not in {"wal", "memory"}:
        yield Finding(
            "wal", f"SQLite writes in journal mode {said}, so readers and writers wait for each other.",
            "Put the database on a disk of this machine: a network folder cannot do it.",
        )  # fmt: skip
    asked, enough = ("PRAGMA synchronous", {"2", "3"}) if connection.vendor == "sqlite" else (
        "SHOW synchronous_commit", {"on", "remote_apply", "remote_write", "local"}
    )  # fmt: skip
    if (level := _asked(asked)) not in enough:
        yield Finding(
            "synchronous", f"The database acknowledges what is not on the disk yet (synchronous {level}): a power cut "
            "loses entries that no tablet has any more.",
            "Set it back to FULL (SQLite) or synchronous_commit = on (PostgreSQL).",
        )  # fmt: skip


def _asked(sql: str) -> str:
    with connection.cursor() as cursor:
        cursor.execute(sql)
        return str(cursor.fetchone()[0])


def store() -> Iterator[Finding]:
    """A file is kept, read and removed again."""
    try:
        name = keep(token_bytes(32), suffix=".probe").name
        read(name)
        remove(name)
    except OSError as fault:
        where = "FILES_URL" if settings.FILES_URL else f"the folder {settings.VAR_DIR / 'evidence'}"
        yield Finding(
            "store", f"Photos and records cannot be kept: {type(fault.__cause__ or fault).__name__}.",
            f"Look at {where}: whether it is there, answers, and may be written to.",
        )  # fmt: skip


def unsealed_days() -> Iterator[Finding]:
    if waiting := days_to_seal(timezone.now()):
        yield Finding(
            "unsealed", f"{len(waiting)} days are over and not sealed, the first {waiting[0]}.",
            "Run manage.py seal_day, and see that its timer runs every night.", wrong=len(waiting) > 1,
        )  # fmt: skip


def ledger_checked() -> Iterator[Finding]:
    mark = last(Mark.Of.LEDGER)
    if mark and not mark.went_well:
        yield Finding(
            "ledger", f"The ledger did not hold when it was checked on {mark.at:%Y-%m-%d}.",
            "Run manage.py verify_ledger: it names each entry. Keep the database as it is until that is explained.",
        )  # fmt: skip
    elif mark is None or timezone.now() - mark.at > LEDGER_EVERY:
        since = f"since {mark.at:%Y-%m-%d}" if mark else "so far"
        yield Finding(
            "ledger", f"The ledger was not checked from the first entry to the last {since}.",
            "Run manage.py verify_ledger, and see that its timer runs every week.", wrong=settings.PRODUCTION,
        )  # fmt: skip


def backups() -> Iterator[Finding]:
    mark = last(Mark.Of.BACKUP)
    if mark is None or timezone.now() - mark.at > BACKUP_EVERY:
        since = f"The last backup is of {mark.at:%Y-%m-%d %H:%M} (UTC)." if mark else "There is no backup."
        yield Finding(
            "backup", since, "Run manage.py backup, and see that its timer runs every night.", wrong=settings.PRODUCTION
        )


def worker() -> Iterator[Finding]:
    if not are_handed_to_a_worker():
        return
    oldest, now = oldest_ready(), timezone.now()
    if oldest and now - oldest > WORKER_IS_AWAY:
        yield Finding(
            "worker", f"A task has waited for {(now - oldest).total_seconds() / 60:.0f} minutes: no worker takes it.",
            "Start one: systemctl start levelpeg-worker, or manage.py db_worker.",
        )  # fmt: skip
    if stuck := stale(now).count():
        yield Finding(
            "stuck-tasks", f"{stuck} tasks were begun and never ended: their worker was stopped.",
            "Run manage.py tasks_again; a worker's unit does so whenever it starts.",
        )  # fmt: skip
    if failed := counts()["FAILED"]:
        yield Finding(
            "failed-tasks", f"{failed} tasks ended in an error.",
            "Run manage.py tasks_again --failed once the cause is gone; the log names it.",
        )  # fmt: skip


CHECKS = (
    migrations, ledger_triggers, durability, store, unsealed_days, ledger_checked, backups, worker,
)  # fmt: skip
