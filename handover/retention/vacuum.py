"""Free pages of the database still hold what was erased, until they are written anew."""

from django.db import connection


def vacuum() -> None:
    """SQLite: write the whole file anew and empty its write-ahead log. PostgreSQL: let go of what rows left behind.

    Outside a transaction, as both demand.
    """
    with connection.cursor() as cursor:
        cursor.execute("VACUUM")
        if connection.vendor == "sqlite":
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
