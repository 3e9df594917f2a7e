"""Triggers by which the database itself refuses to change the ledger, for SQLite and PostgreSQL.

install and remove are the two halves of a RunPython migration. A migration that rebuilds the table on SQLite loses
its triggers: run install again after it. verify_ledger reports missing ones.
"""

from typing import Any

from django.db.backends.base.base import BaseDatabaseWrapper

TABLE = "shared_entry"

# REPLACE deletes the old row without calling its delete trigger, so on SQLite the insert is guarded as well.
SQLITE = {
    "ledger_entry_no_update": """
        CREATE TRIGGER ledger_entry_no_update BEFORE UPDATE ON shared_entry
        BEGIN SELECT RAISE(ABORT, 'The ledger is append-only: an entry cannot be changed or deleted.'); END""",
    "ledger_entry_no_delete": """
        CREATE TRIGGER ledger_entry_no_delete BEFORE DELETE ON shared_entry
        BEGIN SELECT RAISE(ABORT, 'The ledger is append-only: an entry cannot be changed or deleted.'); END""",
    "ledger_entry_no_replace": """
        CREATE TRIGGER ledger_entry_no_replace BEFORE INSERT ON shared_entry
        WHEN EXISTS (SELECT 1 FROM shared_entry WHERE id = NEW.id)
          OR EXISTS (SELECT 1 FROM shared_entry WHERE key = NEW.key)
          OR EXISTS (SELECT 1 FROM shared_entry WHERE chain = NEW.chain AND sequence = NEW.sequence)
        BEGIN SELECT RAISE(ABORT, 'The ledger is append-only: an entry cannot be changed or deleted.'); END""",
}

# TRUNCATE of an empty table takes no evidence away and is how a test database is emptied.
POSTGRESQL_FUNCTION = """
    CREATE OR REPLACE FUNCTION ledger_entry_refuse() RETURNS trigger LANGUAGE plpgsql AS $$
    BEGIN
        IF TG_OP = 'TRUNCATE' AND NOT EXISTS (SELECT 1 FROM shared_entry) THEN RETURN NULL; END IF;
        RAISE EXCEPTION 'The ledger is append-only: an entry cannot be changed or deleted.'
            USING ERRCODE = 'integrity_constraint_violation';
    END $$"""
POSTGRESQL = {
    "ledger_entry_no_change": """
        CREATE TRIGGER ledger_entry_no_change BEFORE UPDATE OR DELETE ON shared_entry
        FOR EACH ROW EXECUTE FUNCTION ledger_entry_refuse()""",
    "ledger_entry_no_truncate": """
        CREATE TRIGGER ledger_entry_no_truncate BEFORE TRUNCATE ON shared_entry
        FOR EACH STATEMENT EXECUTE FUNCTION ledger_entry_refuse()""",
}


class NoTriggers(RuntimeError):
    """The ledger is kept on SQLite or PostgreSQL; no triggers are known for another database."""


def install(apps: Any, schema_editor: Any) -> None:
    """Make the triggers, in place of old ones of the same name."""
    connection = schema_editor.connection
    remove(apps, schema_editor)
    if connection.vendor == "postgresql":
        schema_editor.execute(POSTGRESQL_FUNCTION)
    for name, statement in _triggers(connection).items():
        schema_editor.execute(statement)
        if connection.vendor == "postgresql":
            # ALWAYS: also in a session that sets session_replication_role to skip triggers.
            schema_editor.execute(f"ALTER TABLE {TABLE} ENABLE ALWAYS TRIGGER {name}")


def remove(apps: Any, schema_editor: Any) -> None:
    connection = schema_editor.connection
    on_table = f" ON {TABLE}" if connection.vendor == "postgresql" else ""
    for name in _triggers(connection):
        schema_editor.execute(f"DROP TRIGGER IF EXISTS {name}{on_table}")


def missing(connection: BaseDatabaseWrapper) -> list[str]:
    """Names of the triggers that are not in the database, or not enabled."""
    query = {
        "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = %s",
        "postgresql": "SELECT tgname FROM pg_trigger WHERE tgrelid = %s::regclass AND tgenabled = 'A'",
    }
    expected = _triggers(connection)
    with connection.cursor() as cursor:
        cursor.execute(query[connection.vendor], [TABLE])
        present = {name for (name,) in cursor.fetchall()}
    return [name for name in expected if name not in present]


def _triggers(connection: BaseDatabaseWrapper) -> dict[str, str]:
    try:
        return {"sqlite": SQLITE, "postgresql": POSTGRESQL}[connection.vendor]
    except KeyError:
        raise NoTriggers(f"The ledger is kept on SQLite or PostgreSQL, not on {connection.vendor}.") from None
