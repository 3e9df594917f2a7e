from types import SimpleNamespace

import pytest
from django.db import IntegrityError, connection, transaction

from shared.ledger import triggers
from shared.ledger.models import Entry
from tests.ledger.conftest import Write
from tests.ledger.forcing import lifted, run

ON_POSTGRESQL = connection.vendor == "postgresql"


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE shared_entry SET device = 'tablet 9'",
        "UPDATE shared_entry SET payload = '{}' WHERE sequence = 3",
        "DELETE FROM shared_entry",
        "DELETE FROM shared_entry WHERE sequence = 5",
    ],
)
def test_database_refuses(chain: list[Entry], statement: str) -> None:
    with pytest.raises(IntegrityError, match="append-only"), transaction.atomic():
        run(statement)


def test_models_are_refused_too(chain: list[Entry]) -> None:
    chain[0].device = "tablet 9"
    for change in (chain[0].save, chain[0].delete, Entry.objects.all().delete):
        with pytest.raises(IntegrityError, match="append-only"), transaction.atomic():
            change()


@pytest.mark.skipif(ON_POSTGRESQL, reason="PostgreSQL has no REPLACE")
@pytest.mark.parametrize("column", ["id", "key", "sequence"])
def test_replace_is_refused(chain: list[Entry], column: str) -> None:
    """The clash is in one unique column; the others are new."""
    new = {"id": "'f0'", "key": "'f1'", "sequence": "99"} | {column: column}
    rest = "kind, payload, actor_id, device, happened_at, recorded_at, subject, rows, previous, digest"
    with pytest.raises(IntegrityError, match="append-only"), transaction.atomic():
        run(
            f"INSERT OR REPLACE INTO shared_entry (id, key, sequence, chain, {rest}) "  # noqa: S608
            f"SELECT {new['id']}, {new['key']}, {new['sequence']}, chain, {rest} FROM shared_entry WHERE sequence = 3"
        )


@pytest.mark.skipif(not ON_POSTGRESQL, reason="SQLite has no TRUNCATE")
def test_truncate_is_refused(chain: list[Entry]) -> None:
    connection.check_constraints()
    with pytest.raises(IntegrityError, match="append-only"), transaction.atomic():
        run("TRUNCATE shared_entry CASCADE")


@pytest.mark.skipif(not ON_POSTGRESQL, reason="only PostgreSQL can skip triggers in a session")
def test_session_that_skips_triggers_is_refused(chain: list[Entry]) -> None:
    run("SET LOCAL session_replication_role = replica")
    with pytest.raises(IntegrityError, match="append-only"), transaction.atomic():
        run("DELETE FROM shared_entry")


def test_none_is_missing_after_migrating(db: None) -> None:
    assert triggers.missing(connection) == []


def test_missing_ones_are_named(db: None) -> None:
    with lifted():
        assert triggers.missing(connection) == [
            name for table in triggers.TABLES for name in triggers.names(connection, table)
        ]
    assert triggers.missing(connection) == []


def test_insert_stays_possible(write: Write) -> None:
    assert [write().sequence, write().sequence] == [1, 2]


def test_other_databases_are_not_trusted_with_a_ledger() -> None:
    editor = SimpleNamespace(connection=SimpleNamespace(vendor="mysql"))
    with pytest.raises(triggers.NoTriggers, match="not on mysql"):
        triggers.install(None, editor)
