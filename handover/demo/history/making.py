"""So many rentals over so many years, on so many units of so many branches."""

import time
from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from itertools import islice, product

from django.db import connection, transaction

from handover.demo.history.copying import Copies, copy
from handover.demo.history.rows import rows_of_branch, rows_of_rental, rows_of_unit
from handover.rental.models import Rental

NEWEST_DAYS_AGO = 40
"""Copies end before the demo begins: its day board shows what it always shows."""

FIRST = (
    "Aila", "Benno", "Cato", "Dorte", "Edvin", "Femke", "Goran", "Hedda", "Ilya", "Jorun", "Kaspar", "Livia", "Milo",
    "Nadja", "Ossian", "Petra", "Quirin", "Runa", "Sven", "Tilda", "Ulla", "Viggo", "Wanda", "Xenia", "Yann", "Zora",
)  # fmt: skip
LAST = (
    "Abend", "Birk", "Corvin", "Dahlem", "Eskel", "Farrow", "Glenn", "Hollis", "Iden", "Jarl", "Kettle", "Lorne",
    "Marr", "Norrby", "Ostler", "Pell", "Quill", "Rask", "Sorley", "Tarn", "Umber", "Vance", "Wick", "Yarrow",
)  # fmt: skip
OWN_OF_RENTAL = {
    "handover.Rental.number": "'S' || copy.number",
    "handover.Rental.outside_reference": "'S' || copy.number",
    "handover.Customer.name": "copy.name",
    "handover.Driver.name": "copy.name",
    "handover.Mark.number": "%s + 100 * copy.visit",
}
# One rental in fifty is disputed: common practice, no source.
ONLY_OF_RENTAL = {"handover.Dispute": "copy.number %% 50 = 0"}
OWN_OF_UNIT = {
    "fleet.Unit.number": "'S' || copy.unit",
    "fleet.Unit.plate": "'SIM ' || copy.unit",
    "fleet.Unit.vin": "''",
}
OWN_OF_BRANCH = {
    "fleet.Branch.code": "'branch-' || copy.branch",
    "fleet.Branch.name": "'Branch ' || copy.branch",
    "fleet.Branch.prefix": "'B' || copy.branch",
}
SOURCES = {
    "branch": "SELECT DISTINCT branch FROM simulated_copy WHERE branch > 0",
    "unit": "SELECT DISTINCT unit, branch FROM simulated_copy",
    "number": "SELECT * FROM simulated_copy",
}


@dataclass(frozen=True, slots=True)
class Size:
    rentals: int
    units: int
    branches: int
    years: int


def make(size: Size, first: Rental) -> Iterator[tuple[str, int, float]]:
    """Copies `first`, a settled rental; gives (table, rows made, seconds). Copies made before must be gone."""
    unit = first.legs.earliest("number").unit
    kinds = (
        Copies(rows_of_branch(first.branch), "branch", OWN_OF_BRANCH),
        Copies(rows_of_unit(unit), "unit", OWN_OF_UNIT),
        Copies(rows_of_rental(first), "number", OWN_OF_RENTAL, ONLY_OF_RENTAL),
    )
    with ExitStack() as stack:
        if connection.vendor == "postgresql":
            # Its foreign keys are looked at when the transaction ends.
            stack.enter_context(transaction.atomic())
        else:
            stack.enter_context(connection.constraint_checks_disabled())
            _keep_indexes_in_memory()
        _number(size)
        began = time.perf_counter()
        for table, count in copy(kinds, SOURCES):
            yield table, count, -began + (began := time.perf_counter())


def _keep_indexes_in_memory() -> None:
    """SQLite's, of this connection: the copies of one row go all over the indexes of millions of others."""
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA cache_size = -1000000")


def _number(size: Size) -> None:
    """The table of copies: number, unit, branch, visit of the unit, days back, name of the customer."""
    names = [f"{one} {other}" for one, other in product(FIRST, LAST)]
    span = size.years * 365
    rows = (
        (
            number,
            1 + number % size.units,
            number % size.units % size.branches,
            1 + number // size.units,
            NEWEST_DAYS_AGO + number * span // size.rentals,
            names[number % len(names)],
        )
        for number in range(1, size.rentals + 1)
    )
    with connection.cursor() as cursor:
        cursor.execute("DROP TABLE IF EXISTS simulated_copy")
        cursor.execute(
            "CREATE TEMPORARY TABLE simulated_copy "
            "(number integer PRIMARY KEY, unit integer, branch integer, visit integer, days integer, name text)"
        )
        while some := list(islice(rows, 10_000)):
            cursor.executemany("INSERT INTO simulated_copy VALUES (%s, %s, %s, %s, %s, %s)", some)
