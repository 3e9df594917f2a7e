"""Whether this process can do its work now. Cheap, and says nothing that a stranger could use."""

from collections.abc import Callable
from datetime import timedelta

from django.core.files.storage import storages
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor
from django.utils import timezone

from shared.running.tasks import oldest_ready

# A worker asks every second and a record takes a few: what waits so long is waited for by nobody.
WORKER_IS_AWAY = timedelta(minutes=10)
# The name of no file: whether it is there is asked, and a store that answers says no.
NOBODY = f"00/00/{'0' * 64}"


def ready() -> dict[str, bool]:
    """By what was looked at, whether it is so."""
    if not database_answers():
        return {"database": False}
    return {
        "database": True,
        "migrations": _quietly(is_migrated),
        "storage": _quietly(store_answers),
        "tasks": _quietly(tasks_are_taken),
    }


def database_answers() -> bool:
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except DatabaseError:
        return False
    return True


class Migrated:
    """Looked at until it is so: reading the migrations takes a while, and tables do not go back."""

    is_so = False

    def __call__(self) -> bool:
        self.is_so = self.is_so or not pending_migrations()
        return self.is_so


is_migrated = Migrated()


def pending_migrations() -> list[str]:
    executor = MigrationExecutor(connection)
    return [str(migration) for migration, _back in executor.migration_plan(executor.loader.graph.leaf_nodes())]


def store_answers() -> bool:
    storages["evidence"].exists(NOBODY)
    return True


def tasks_are_taken() -> bool:
    oldest = oldest_ready()
    return oldest is None or timezone.now() - oldest < WORKER_IS_AWAY


def _quietly(is_so: Callable[[], bool]) -> bool:
    """Whatever it raises, the answer is no; doctor says more."""
    try:
        return is_so()
    except Exception:
        return False
