"""What the ledger costs.

An append is compared with a bare insert of the same row, whose digest and place are known already: through the model,
as a program without a ledger would do it, and as a bare statement. Verification is compared with bare canonical JSON
and SHA-256 of the same entries, which are already in memory. All of it in a database in memory that is thrown away;
then once more on disk, where every entry is committed by itself and waits for the disk as the product does.
"""

import json
import tempfile
from collections.abc import Callable
from datetime import UTC, datetime
from time import perf_counter
from uuid import UUID

from django.core.management import call_command
from django.db import connection, transaction

from shared.canonical import digest
from shared.ids import uuid7
from shared.ledger.chain import hashed_form
from shared.ledger.models import Entry, PersonalValue
from shared.ledger.personal import personal
from shared.ledger.row_form import columns_of
from shared.ledger.statements import INSERT, Statements
from shared.ledger.verifying import verify_all, verify_chain
from shared.ledger.writing import append
from tests.bench.pairing import alternating, say, seconds
from tests.bench.reprice import _use_database

COUNT = 3000
A_RENTAL = 150  # entries
TEXT = '{"instrument":"fuel gauge","station":"cab","steps":[5,8],"unit":"L","value":"47.5"}'
ON_DISK = 400
ROWS = 1000
PAYLOAD = {"instrument": "fuel gauge", "value": "47.5", "unit": "L", "station": "cab", "steps": [5, 8]}


def run() -> None:
    call_command("migrate", verbosity=0)
    appended = seconds(_append)
    whole = [json.loads(hashed_form(entry.link)) for entry in Entry.objects.all()]
    bare, verified = alternating(lambda: [digest(entry) for entry in whole], _verify, rounds=5)
    say("one ledger entry appended, with its queries", f"{appended / COUNT * 1e6:,.0f} µs")
    say("one ledger entry read and verified", f"{verified / COUNT * 1e6:,.0f} µs")
    say("speed against bare canonical JSON and SHA-256", f"{bare / verified:.2f}", "goal 0.5 or more")
    _with_rows()
    ours, model, statement = alternating(_append, lambda: _inserted(_by_model), lambda: _inserted(_by_statement))
    say("append : bare insert of the same row", f"{ours / model:.2f}", "goal 1.5 or less")
    say("append : the same as a bare SQL statement", f"{ours / statement:.2f}")
    _on_disk()


def _with_rows() -> None:
    """Entries that state a row each: the row is read, canonical and digested too, in the check and in the bare way."""
    with transaction.atomic():
        chain = uuid7()
        for number in range(ROWS):
            personal(f"{number}", kind="customer.name")
            _append_one(chain)
    entries = [json.loads(hashed_form(entry.link)) for entry in Entry.objects.filter(chain=chain)]
    columns = [columns_of(value) for value in PersonalValue.objects.all()]
    bare, verified = alternating(
        lambda: [(digest(entry), digest(row)) for entry, row in zip(entries, columns, strict=True)],
        lambda: list(verify_chain(chain)),
        rounds=5,
    )
    say("the same where each entry states a row", f"{bare / verified:.2f}")


def _append() -> None:
    with transaction.atomic():
        chain = uuid7()
        for number in range(COUNT):
            chain = chain if number % A_RENTAL else uuid7()
            _append_one(chain)


def _append_one(chain: UUID) -> None:
    append(
        chain=chain,
        kind="reading.taken",
        payload=PAYLOAD,
        by=None,
        key=uuid7(),
        happened_at=datetime.now(UTC),
        subject=uuid7(),
        device="tablet 2",
    )


def _inserted(insert: Callable[[Entry], None]) -> None:
    with transaction.atomic():
        for _ in range(COUNT):
            insert(_ready())


def _ready() -> Entry:
    """A row as an append makes it, but for what it takes to know: place, canonical text and digest."""
    now = datetime.now(UTC)
    return Entry(
        id=uuid7(), chain=uuid7(), sequence=1, kind="reading.taken", payload=TEXT, device="tablet 2",
        happened_at=now, recorded_at=now, key=uuid7(), subject=uuid7(), previous="0" * 64, digest="1" * 64,
    )  # fmt: skip


def _by_model(entry: Entry) -> None:
    entry.save(force_insert=True)


def _by_statement(entry: Entry) -> None:
    values = [getattr(entry, field.attname) for field in Entry._meta.concrete_fields]
    with connection.cursor() as cursor:
        Statements(connection, cursor)._run(INSERT, *values)


def _on_disk() -> None:
    """By the clock on the wall, each in its own transaction, with the product's own settings of SQLite."""
    with tempfile.TemporaryDirectory(prefix="levelpeg-bench-") as folder:
        _use_database(f"{folder}/ledger.sqlite3")
        call_command("migrate", verbosity=0)
        chain, taken = uuid7(), [0.0, 0.0]
        for _ in range(ON_DISK):
            for which, work in enumerate((lambda: _append_one(chain), lambda: _by_model(_ready()))):
                start = perf_counter()
                with transaction.atomic():
                    work()
                taken[which] += perf_counter() - start
        say("on disk, with its commit: append : bare insert", f"{taken[0] / taken[1]:.2f}")
        _use_database(":memory:")


def _verify() -> None:
    if problems := list(verify_all()):
        raise SystemExit("\n".join(problems))
