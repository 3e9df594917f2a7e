"""Triggers by which the database itself refuses to change the ledger, for SQLite and PostgreSQL.

install and remove are the two halves of a RunPython migration. A migration that rebuilds a table on SQLite loses
its triggers: run install again after it. verify_ledger reports missing ones.
"""

from typing import Any

from django.db.backends.base.base import BaseDatabaseWrapper

TABLES = {
    # Table, beginning of its triggers' names, its unique columns, what is said.
    "shared_entry": (
        "ledger_entry", ("id", "key", "chain sequence"),
        "The ledger is append-only: an entry cannot be changed or deleted.",
    ),
    "shared_dayseal": (
        "day_seal", ("number", "day"), "A day seal stands: it cannot be changed or deleted.",
    ),
}  # fmt: skip


class NoTriggers(RuntimeError):
    """The ledger is kept on SQLite or PostgreSQL; no triggers are known for another database."""


def install(apps: Any, schema_editor: Any) -> None:
    """Make the triggers, in place of old ones of the same name. A table that is not there yet gets its own later."""
    connection = schema_editor.connection
    remove(apps, schema_editor)
    for table in _present(connection):
        for statement in (_sqlite if connection.vendor == "sqlite" else _postgresql)(table):
            schema_editor.execute(statement)


def remove(apps: Any, schema_editor: Any) -> None:
    connection = schema_editor.connection
    for table in _present(connection):
        on_table = f" ON {table}" if connection.vendor == "postgresql" else ""
        for name in names(connection, table):
            schema_editor.execute(f"DROP TRIGGER IF EXISTS {name}{on_table}")


def missing(connection: BaseDatabaseWrapper) -> list[str]:
    """Names of the triggers that are not in the database, or not enabled."""
    query = {
        "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = %s",
        "postgresql": "SELECT tgname FROM pg_trigger WHERE tgrelid = %s::regclass AND tgenabled = 'A'",
    }
    absent: list[str] = []
    with connection.cursor() as cursor:
        for table in TABLES:
            cursor.execute(query[connection.vendor], [table])
            present = {name for (name,) in cursor.fetchall()}
            absent += [name for name in names(connection, table) if name not in present]
    return absent


def names(connection: BaseDatabaseWrapper, table: str) -> list[str]:
    """Of the triggers of a table. Raises NoTriggers."""
    start = TABLES[table][0]
    try:
        ways = {"sqlite": ("update", "delete", "replace"), "postgresql": ("change", "truncate")}[connection.vendor]
    except KeyError:
        raise NoTriggers(f"The ledger is kept on SQLite or PostgreSQL, not on {connection.vendor}.") from None
    return [f"{start}_no_{way}" for way in ways]


def _present(connection: BaseDatabaseWrapper) -> list[str]:
    names(connection, "shared_entry")
    there = connection.introspection.table_names()
    return [table for table in TABLES if table in there]


def _sqlite(table: str) -> list[str]:
    """REPLACE deletes the old row without calling its delete trigger, so the insert is guarded as well."""
    start, unique, said = TABLES[table]
    refuse = f"BEGIN SELECT RAISE(ABORT, '{said}'); END"
    clashes = " OR ".join(f"EXISTS (SELECT 1 FROM {table} WHERE {_same(columns)})" for columns in unique)  # noqa: S608
    return [
        f"CREATE TRIGGER {start}_no_update BEFORE UPDATE ON {table} {refuse}",
        f"CREATE TRIGGER {start}_no_delete BEFORE DELETE ON {table} {refuse}",
        f"CREATE TRIGGER {start}_no_replace BEFORE INSERT ON {table} WHEN {clashes} {refuse}",
    ]


def _same(columns: str) -> str:
    return " AND ".join(f"{column} = NEW.{column}" for column in columns.split())


def _postgresql(table: str) -> list[str]:
    """TRUNCATE of an empty table takes no evidence away and is how a test database is emptied.

    ALWAYS: also in a session that sets session_replication_role to skip triggers.
    """
    start, _unique, said = TABLES[table]
    call = f"EXECUTE FUNCTION {start}_refuse()"
    return [
        f"""CREATE OR REPLACE FUNCTION {start}_refuse() RETURNS trigger LANGUAGE plpgsql AS $$
        BEGIN
            IF TG_OP = 'TRUNCATE' AND NOT EXISTS (SELECT 1 FROM {table}) THEN RETURN NULL; END IF;
            RAISE EXCEPTION '{said}' USING ERRCODE = 'integrity_constraint_violation';
        END $$""",  # noqa: S608
        f"CREATE TRIGGER {start}_no_change BEFORE UPDATE OR DELETE ON {table} FOR EACH ROW {call}",
        f"CREATE TRIGGER {start}_no_truncate BEFORE TRUNCATE ON {table} FOR EACH STATEMENT {call}",
        *(f"ALTER TABLE {table} ENABLE ALWAYS TRIGGER {start}_no_{way}" for way in ("change", "truncate")),
    ]
