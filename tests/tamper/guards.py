"""What SQLite holds against changes, taken away for as long as somebody tampers."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection

from tests.ledger.forcing import lifted


@contextmanager
def unguarded() -> Iterator[None]:
    """As somebody with the database's password would begin: without triggers, checks and foreign keys.

    Foreign keys stay as they are inside a transaction, as in a test.
    """
    with lifted(), connection.cursor() as cursor:
        cursor.execute("PRAGMA foreign_keys = OFF")
        cursor.execute("PRAGMA ignore_check_constraints = ON")
        try:
            yield
        finally:
            cursor.execute("PRAGMA ignore_check_constraints = OFF")
            cursor.execute("PRAGMA foreign_keys = ON")
