"""Re-pricing stored statements as the command does: out of a database file, over all cores, back to the digest kept.

The statements are a few hundred different ones, stored again and again under other versions; every one is read and
priced. There are as many as an operator has after years; REPRICE_COUNT=4000 is enough for a quick look.
"""

import os
import resource
import tempfile
from collections.abc import Iterator
from copy import deepcopy
from datetime import UTC, datetime, timedelta
from itertools import cycle, islice
from time import perf_counter
from typing import Any

from django.core.management import call_command
from django.db import connections

from fleet.models import Branch
from handover.charges import RULES_VERSION, parse, price
from handover.ratecard.repricing import differences
from handover.ratecard.stored import statements_since, stored_in_chunks
from handover.rental.models import Customer, Rental
from handover.statement.models import Statement
from shared.access.models import Person
from shared.canonical import canonical_text, sha256_hex
from tests.bench.pairing import say
from tests.bench.statements import ten_lines

COUNT = int(os.environ.get("REPRICE_COUNT", "100000"))
DIFFERENT = 300
NOW = datetime(2026, 8, 18, 12, tzinfo=UTC)


def run() -> None:
    with tempfile.TemporaryDirectory(prefix="levelpeg-bench-") as folder:
        _use_database(f"{folder}/statements.sqlite3")
        call_command("migrate", verbosity=0)
        _store(COUNT)
        found: list[str] = []
        memory = [_own_memory()]
        start = perf_counter()  # of the wall: the work is done in other processes
        found.extend(_differences(memory))
        took = perf_counter() - start
        cores, quarter = os.cpu_count() or 1, max(1, len(memory) // 4)
        say(f"{COUNT:,} stored statements priced again, {cores} cores", f"{COUNT / took:,.0f} /s", f"{took:.0f} s")
        say("differences", f"{len(found)}", "goal 0")
        first, last = max(memory[:quarter]), max(memory[-quarter:])
        say("most memory in the first and the last quarter", f"{first:.0f} and {last:.0f} MB", "goal flat")
        say("most memory of a worker", f"{_peak_of_workers():.0f} MB")
        _use_database(":memory:")


def _differences(memory: list[float]) -> Iterator[str]:
    priced = 0
    for count, sentences in differences(stored_in_chunks(statements_since(None)), processes=os.cpu_count() or 1):
        memory.append(_own_memory())
        priced += count
        yield from sentences
    if priced != COUNT:
        raise SystemExit(f"{priced:,} of {COUNT:,} statements were priced again.")


def _own_memory() -> float:
    """MB that this process holds now, without the pages of the database file that Linux maps into it."""
    with open("/proc/self/status", encoding="ascii") as status:
        return next(int(line.split()[1]) for line in status if line.startswith("RssAnon:")) * 1024 / 1e6


def _peak_of_workers() -> float:
    """MB; Linux counts KiB."""
    return resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss * 1024 / 1e6


def _use_database(name: str) -> None:
    """A file in place of the database in memory, which would itself grow with the statements."""
    connections["default"].close()
    connections.databases["default"]["NAME"] = name
    del connections["default"]


def _store(count: int) -> None:
    rental, person = _rental()
    documents = cycle(_documents())
    rows = (_row(rental, person, number, *next(documents)) for number in range(1, count + 1))
    while chunk := list(islice(rows, 500)):
        Statement.objects.bulk_create(chunk)


def _rental() -> tuple[Rental, Person]:
    branch = Branch.objects.create(
        code="inverlark", name="Inverlark", operator="Larkmoor Campers", prefix="LK", zone="Europe/London",
        currency="GBP", tax_mode="inclusive", tax_rate="0.2",
    )  # fmt: skip
    customer = Customer.objects.create(name="Maren Oduya")
    person = Person.objects.create(username="isla", role="host")
    rental = Rental.objects.create(
        number="LK-20001", branch=branch, customer=customer, charged_days=4,
        planned_out_at=NOW - timedelta(days=4), planned_back_at=NOW,
    )  # fmt: skip
    return rental, person


def _documents() -> list[tuple[str, str, str]]:
    """Inputs, result and total of statements of about ten lines that differ in what was read."""
    return [_priced(ten_lines(), number) for number in range(DIFFERENT)]


def _priced(document: dict[str, Any], number: int) -> tuple[str, str, str]:
    changed = deepcopy(document)
    changed["rules"]["fuel"]["price_per_litre"] = f"{1.5 + number / 1000:.3f}"
    result = price(parse(changed))
    return canonical_text(changed), result.as_bytes().decode(), str(result.totals.total)


def _row(rental: Rental, person: Person, number: int, inputs: str, result: str, total: str) -> Statement:
    return Statement(
        rental=rental, version=number, inputs=inputs, result=result, rules_version=RULES_VERSION,
        digest=sha256_hex(result.encode()), total=total, currency="GBP", drawn_up_at=NOW, drawn_up_by=person,
    )  # fmt: skip
