import tracemalloc
from dataclasses import replace
from datetime import timedelta
from itertools import pairwise
from typing import Any
from uuid import UUID

import pytest
from django.db import connection

from shared.ids import uuid7
from shared.ledger.chain import START, link_digest
from shared.ledger.models import ChainHead, Entry
from shared.ledger.personal import personal
from shared.ledger.verifying import entries_to_verify, verify_all, verify_chain
from tests.ledger.conftest import EIGHT, OTHER_RENTAL, RENTAL, Write
from tests.ledger.forcing import force, lifted

STRANGER = UUID("01980000-0000-7000-8000-0000000000ff")


def raw(value: Any) -> Any:
    """A value as a raw statement takes it on this database."""
    if isinstance(value, UUID):
        return value.hex if connection.vendor == "sqlite" else value
    return value


def problems() -> list[str]:
    return list(verify_all())


def with_digests_again(entries: list[Entry]) -> None:
    """What a careful forger does: link and digest every entry anew, in the order given."""
    for before, entry in pairwise([None, *entries]):
        link = replace(entry.link, previous=before.digest if before else entry.previous)
        entry.previous, entry.digest = link.previous, link_digest(link)
        entry.save()


def test_ledger_as_written_holds(chain: list[Entry], write: Write) -> None:
    write(chain=OTHER_RENTAL, by=None)
    assert problems() == []


def test_empty_ledger_holds(db: None) -> None:
    assert problems() == []


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("kind", "reading.waived"),
        ("payload", '{"value":"9"}'),
        ("payload", '{"value": "2"}'),
        ("actor_id", None),
        ("device", "tablet 9"),
        ("happened_at", EIGHT + timedelta(minutes=2, microseconds=1)),
        ("recorded_at", EIGHT + timedelta(days=9000)),
        ("key", STRANGER),
        ("subject", None),
        ("subject", STRANGER),
        ("id", STRANGER),
        ("digest", "0" * 64),
        ("previous", "0" * 64),
    ],
)
def test_forced_column_is_found(chain: list[Entry], column: str, value: Any) -> None:
    force(f"UPDATE shared_entry SET {column} = %s WHERE sequence = 3", raw(value))  # noqa: S608
    assert any(said.startswith(f"Entry 3 of chain {RENTAL} (") for said in problems())


def test_forced_content_is_told_in_one_sentence(chain: list[Entry]) -> None:
    force("UPDATE shared_entry SET device = 'tablet 9' WHERE sequence = 3")
    assert problems() == [
        f"Entry 3 of chain {RENTAL} (reading.taken, id {chain[2].pk}) is not what was recorded: "
        "its contents do not match its digest."
    ]


def test_entry_moved_to_another_chain_is_found(chain: list[Entry]) -> None:
    force("UPDATE shared_entry SET chain = %s WHERE sequence = 5", raw(OTHER_RENTAL))
    assert f"Chain {RENTAL} is cut off: it ends at entry 4, and entry 5 was recorded." in problems()
    assert f"Chain {OTHER_RENTAL} has entries but no head." in problems()


def test_deleted_entry_is_found(chain: list[Entry]) -> None:
    force("DELETE FROM shared_entry WHERE sequence = 3")
    assert f"Entry 4 of chain {RENTAL} (reading.taken, id {chain[3].pk}) stands where entry 3 belongs" in problems()[0]


def test_deleted_entry_with_the_rest_moved_up_is_found(chain: list[Entry]) -> None:
    force("DELETE FROM shared_entry WHERE sequence = 3")
    force("UPDATE shared_entry SET sequence = 3 WHERE sequence = 4")
    assert f"Entry 3 of chain {RENTAL} (reading.taken, id {chain[3].pk}) does not follow" in problems()[0]


def test_inserted_entry_is_found(chain: list[Entry]) -> None:
    forged = Entry(id=uuid7(), key=uuid7(), previous=chain[4].digest, sequence=6)
    for column in ("chain", "kind", "payload", "actor", "device", "happened_at", "recorded_at"):
        setattr(forged, column, getattr(chain[4], column))
    forged.digest = link_digest(forged.link)
    forged.save(force_insert=True)
    assert problems() == [
        f"Chain {RENTAL} goes on after entry 5, its last: entry 6 was not appended.",
    ]


def test_reordered_entries_are_found(chain: list[Entry]) -> None:
    for old, new in ((2, 99), (3, 2), (99, 3)):
        force("UPDATE shared_entry SET sequence = %s WHERE sequence = %s", new, old)
    assert f"Entry 2 of chain {RENTAL} (reading.taken, id {chain[2].pk}) does not follow" in problems()[0]


def test_order_of_recording_is_checked(chain: list[Entry]) -> None:
    chain[2].recorded_at = chain[1].recorded_at - timedelta(seconds=1)
    with lifted():
        with_digests_again(chain)
    assert f"Entry 3 of chain {RENTAL} (reading.taken, id {chain[2].pk}) is recorded earlier" in problems()[0]


def test_chain_cut_off_is_found(chain: list[Entry]) -> None:
    force("DELETE FROM shared_entry WHERE sequence > 3")
    assert problems() == [f"Chain {RENTAL} is cut off: it ends at entry 3, and entry 5 was recorded."]


def test_chain_taken_away_whole_is_found(chain: list[Entry]) -> None:
    force("DELETE FROM shared_entry")
    assert problems() == [f"Chain {RENTAL} is cut off: it ends at entry 0, and entry 5 was recorded."]


def test_chain_without_head_is_found(chain: list[Entry]) -> None:
    ChainHead.objects.all().delete()
    assert problems() == [f"Chain {RENTAL} has entries but no head."]


def test_chain_linked_anew_disagrees_with_its_head(chain: list[Entry]) -> None:
    chain[2].payload = '{"value":"9"}'
    with lifted():
        with_digests_again(chain)
    assert problems() == [f"Entry 5 of chain {RENTAL} is not the one that its head names."]


def test_missing_trigger_is_found(chain: list[Entry]) -> None:
    with lifted():
        assert "The database does not refuse every change of the ledger: its trigger ledger_entry_no_" in problems()[0]


@pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL refuses such a value")
def test_row_that_cannot_be_read_is_told(chain: list[Entry]) -> None:
    force("UPDATE shared_entry SET recorded_at = 'yesterday' WHERE sequence = 3")
    assert any(said.startswith(f"Chain {RENTAL} cannot be read after entry") for said in problems())


@pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL refuses such a value")
@pytest.mark.parametrize("statement", [
    "UPDATE shared_chainhead SET recorded_at = '2026-13-01 00:00:00'",
    "UPDATE shared_chainhead SET chain = 'none'",
    "UPDATE shared_rowstated SET entry = 'none'",
    "UPDATE shared_personalvalue SET erased_at = '2026-13-01 00:00:00', salt = '', value = ''",
])  # fmt: skip
def test_whatever_cannot_be_read_is_told(write: Write, statement: str) -> None:
    write(payload={"customer": personal("Catriona Bell", kind="customer.name")})
    force(statement)
    assert any("cannot be read" in said for said in verify_all())


def test_unknown_chain_is_told(db: None) -> None:
    assert list(verify_chain(STRANGER)) == [f"The ledger knows no chain {STRANGER}."]


def test_one_chain_says_nothing_of_another(chain: list[Entry], write: Write) -> None:
    write(chain=OTHER_RENTAL)
    force("UPDATE shared_entry SET device = 'tablet 9' WHERE sequence = 3")
    assert list(verify_chain(OTHER_RENTAL)) == []


def test_chains_not_written_since_are_left_out(chain: list[Entry]) -> None:
    force("UPDATE shared_entry SET device = 'tablet 9' WHERE sequence = 3")
    after = chain[-1].recorded_at + timedelta(seconds=1)
    assert list(verify_all(since=after)) == []
    assert len(list(verify_all(since=chain[-1].recorded_at))) == 1


def test_progress_counts_every_entry(chain: list[Entry], write: Write) -> None:
    write(chain=OTHER_RENTAL)
    steps: list[int] = []
    list(verify_all(progress=lambda: steps.append(1)))
    assert len(steps) == entries_to_verify() == 6


def test_entry_appended_during_the_check_is_no_problem(chain: list[Entry], write: Write) -> None:
    def append_once() -> None:
        if Entry.objects.count() == 5:
            write()

    assert list(verify_chain(RENTAL, progress=append_once)) == []
    assert Entry.objects.count() == 6


def long_chain(chain: UUID, count: int) -> None:
    """Written past the action, which would take a millisecond each."""
    entries, previous = [], START
    for sequence in range(1, count + 1):
        entry = Entry(chain=chain, sequence=sequence, kind="reading.taken", payload='{"value":"47.5"}', key=uuid7())
        entry.happened_at = entry.recorded_at = EIGHT
        entry.previous = previous
        entry.digest = previous = link_digest(entry.link)
        entries.append(entry)
    Entry.objects.bulk_create(entries, batch_size=1000)
    ChainHead.objects.create(chain=chain, sequence=count, digest=previous, recorded_at=EIGHT)


def peak_of_verifying(chain: UUID) -> int:
    tracemalloc.start()
    assert list(verify_chain(chain)) == []
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak


def test_memory_does_not_grow_with_the_chain(db: None) -> None:
    long_chain(RENTAL, 1500)
    long_chain(OTHER_RENTAL, 4500)
    assert peak_of_verifying(OTHER_RENTAL) < 1.3 * peak_of_verifying(RENTAL)
