"""What someone with the database password could do: rows forced in while the triggers are off."""

from collections.abc import Iterator
from contextlib import contextmanager
from types import SimpleNamespace
from typing import Any

from django.db import connection

from shared.ledger import triggers


def run(statement: str, *values: Any) -> int:
    """Rows touched by a statement past every model."""
    with connection.cursor() as cursor:
        cursor.execute(statement, values)
        return cursor.rowcount


def force(statement: str, *values: Any) -> int:
    with lifted():
        return run(statement, *values)


# Django's own editor would not work inside the transaction of a test on SQLite.
EDITOR = SimpleNamespace(connection=connection, execute=run)


@contextmanager
def lifted() -> Iterator[None]:
    """The triggers are away inside, and back after it."""
    connection.check_constraints()  # PostgreSQL alters no table that has foreign keys still to check
    triggers.remove(None, EDITOR)
    try:
        yield
        connection.check_constraints()
    finally:
        triggers.install(None, EDITOR)
