"""One change each, inside a transaction that is rolled back: what was done, and the check nearest to it."""

# ruff: noqa: S608 names of tables and columns are the database's own

import os
import random
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from django.core.files.storage import storages
from django.db import IntegrityError, connection, transaction

from shared.ids import uuid7
from shared.ledger.chain import link_digest
from shared.ledger.day_document import bounds
from shared.ledger.days import last_seal
from shared.ledger.models import ChainHead, DaySeal, Entry
from shared.ledger.rows import BOUND, WRITTEN_BY_ACTIONS
from tests.tamper import checks
from tests.tamper.checks import Check
from tests.tamper.places import Place, columns, fetch, picked
from tests.tamper.values import another

Places = dict[str, list[Place]]


class NotPossible(RuntimeError):
    """The database refuses this one whatever is switched off: another is drawn."""


@dataclass(frozen=True, slots=True)
class Done:
    what: str
    where: str
    check: Check


Way = Callable[[Places, random.Random], Done]


def run(statement: str, *values: object) -> None:
    try:
        with connection.cursor() as cursor:
            cursor.execute(statement, values)
    except IntegrityError as refused:
        raise NotPossible(statement) from refused


@contextmanager
def undone() -> Iterator[None]:
    """What is changed within is taken back by the database itself."""
    with transaction.atomic():
        mark = transaction.savepoint()
        try:
            yield
        finally:
            transaction.savepoint_rollback(mark)


def column(found: Places, rng: random.Random) -> Done:
    place = picked(found, rng)
    changed = rng.choice(columns(place.table))
    ((value,),) = fetch(f'SELECT +"{changed.name}" FROM {place.table} WHERE rowid = %s', place.rowid)
    run(
        f'UPDATE {place.table} SET "{changed.name}" = %s WHERE rowid = %s',
        another(value, changed.declared, rng), place.rowid,
    )  # fmt: skip
    return Done("column changed", f"{place.table}.{changed.name}", place.check)


def deleted(found: Places, rng: random.Random) -> Done:
    place = picked(found, rng)
    run(f"DELETE FROM {place.table} WHERE rowid = %s", place.rowid)
    return Done("row deleted", place.table, place.check)


def inserted(found: Places, rng: random.Random) -> Done:
    """A copy of a row under another key."""
    tables = {BOUND[label]._meta.db_table: label for label in WRITTEN_BY_ACTIONS}
    table = rng.choice([name for name in sorted(found) if name in tables])
    place = rng.choice(found[table])
    key = BOUND[tables[table]]._meta.pk.column
    names = [f'"{each.name}"' for each in columns(table)]
    values = ["%s" if name == f'"{key}"' else name for name in names]
    fresh = 999 if table == DaySeal._meta.db_table else uuid7().hex
    run(
        f"INSERT INTO {table} ({', '.join(names)}) SELECT {', '.join(values)} FROM {table} WHERE rowid = %s",
        fresh, place.rowid,
    )  # fmt: skip
    return Done("row inserted", table, checks.of_rows_without_entry)


def entry_inserted(found: Places, rng: random.Random) -> Done:
    """At the end of a chain, linked as it should be, its head moved on or not: after a sealed day, or since then."""
    place = rng.choice(found["shared_chainhead"])
    last = Entry.objects.filter(chain=place.chain).order_by("sequence").last()
    if last is None:
        raise NotPossible("no entry")
    forged = Entry.objects.get(pk=last.pk)
    forged.id, forged.key, forged.sequence, forged.previous = uuid7(), uuid7(), last.sequence + 1, last.digest
    forged.digest = link_digest(forged.link)
    forged.save(force_insert=True)
    sealed = last_seal()
    if sealed and last.recorded_at < bounds(sealed.day)[1] and rng.random() < 0.5:
        ChainHead.objects.filter(chain=place.chain).update(sequence=forged.sequence, digest=forged.digest)
        return Done("entry inserted, head moved", "shared_entry", checks.of_days_alone)
    return Done("entry inserted", "shared_entry", place.check)


def reordered(found: Places, rng: random.Random) -> Done:
    place = rng.choice(found["shared_entry"])
    chain = list(Entry.objects.filter(chain=place.chain).order_by("sequence").values_list("pk", "sequence"))
    if len(chain) < 2:
        raise NotPossible("one entry alone")
    (one, first), (other, second) = rng.sample(chain, 2)
    for key, sequence in ((one, 1_000_000), (other, first), (one, second)):
        run("UPDATE shared_entry SET sequence = %s WHERE id = %s", sequence, key.hex)
    return Done("entries reordered", "shared_entry", place.check)


def cut_off(found: Places, rng: random.Random) -> Done:
    """The end of a chain, whose head is moved back where a seal still tells of it."""
    place = rng.choice(found["shared_chainhead"])
    entries = list(Entry.objects.filter(chain=place.chain).order_by("sequence"))
    keep = rng.randrange(len(entries))
    run("DELETE FROM shared_entry WHERE chain = %s AND sequence > %s", place.chain.hex, keep)
    sealed = last_seal()
    if keep and sealed and entries[keep].recorded_at < bounds(sealed.day)[1] and rng.random() < 0.5:
        last = entries[keep - 1]
        ChainHead.objects.filter(chain=place.chain).update(
            sequence=keep, digest=last.digest, recorded_at=last.recorded_at
        )
        return Done("chain cut off, head moved", "shared_entry", checks.of_days_alone)
    return Done("chain cut off", "shared_entry", place.check)


def linked_anew(found: Places, rng: random.Random) -> Done:
    """The careful forger: one payload changed, every digest after it made again, the head moved."""
    place = rng.choice(found["shared_entry"])
    entries = list(Entry.objects.filter(chain=place.chain).order_by("sequence"))
    start = rng.randrange(len(entries))
    sealed = last_seal()
    if not sealed or entries[start].recorded_at >= bounds(sealed.day)[1]:
        raise NotPossible("not sealed yet")
    entries[start].payload = '{"forged":true}'
    before = entries[start].previous
    for entry in entries[start:]:
        entry.previous = before
        entry.digest = before = link_digest(entry.link)
    Entry.objects.bulk_update(entries[start:], ["payload", "previous", "digest"])
    ChainHead.objects.filter(chain=place.chain).update(digest=before)
    return Done("chain linked anew, head moved", "shared_entry", checks.of_days_alone)


def seals_changed(found: Places, rng: random.Random) -> Done:
    """Days deleted, cut off at the end, given each other's numbers, or given each other's days."""
    numbers = list(DaySeal.objects.values_list("number", flat=True))
    way = rng.choice(["deleted", "cut off", "reordered", "days swapped"])
    if way in {"deleted", "cut off"}:
        at = rng.choice(numbers)
        run(f"DELETE FROM shared_dayseal WHERE number {'=' if way == 'deleted' else '>='} %s", at)
    else:
        name = "number" if way == "reordered" else "day"
        one, other = rng.sample(list(DaySeal.objects.values_list(name, flat=True)), 2)
        aside = 1_000_000 if name == "number" else "2099-01-01"
        for old, new in ((one, aside), (other, one), (aside, other)):
            run(f"UPDATE shared_dayseal SET {name} = %s WHERE {name} = %s", new, old)
    return Done(f"day seals {way}", "shared_dayseal", checks.of_days)


WAYS: list[tuple[Way, int]] = [
    (column, 70), (deleted, 8), (inserted, 4), (entry_inserted, 3), (reordered, 4), (cut_off, 4), (linked_anew, 4),
    (seals_changed, 3),
]  # fmt: skip


@contextmanager
def byte_flipped(name: str, rng: random.Random) -> Iterator[Path]:
    """One bit of one byte of an evidence file, put back after."""
    path = Path(storages["evidence"].path(name))
    whole = path.read_bytes()
    at = rng.randrange(len(whole))
    os.chmod(path, 0o640)
    try:
        path.write_bytes(whole[:at] + bytes([whole[at] ^ 1 << rng.randrange(8)]) + whole[at + 1 :])
        yield path
    finally:
        path.write_bytes(whole)
