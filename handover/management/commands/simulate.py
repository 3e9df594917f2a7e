"""python manage.py simulate --units 2000 --years 3: a realistic history beside the demo, to measure with."""

import time
from argparse import ArgumentTypeError
from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection

from fleet.models import Unit
from handover.demo.history.making import Size, make
from handover.rental.models import Rental

A_YEAR = 17
"""Rentals of one unit: common practice, no source; 2,000 units over 3 years make about 100,000."""


class Command(BaseCommand):
    help = "Copies the demo's settled rental over years, units and branches; says the rows, time and size of each step."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--units", type=_count, default=2000)
        parser.add_argument("--years", type=_count, default=3)
        parser.add_argument("--branches", type=_count, default=40)
        parser.add_argument("--rentals", type=_count, help="instead of 17 a unit and year")

    def handle(self, *args: Any, units: int, years: int, branches: int, rentals: int | None, **options: Any) -> None:
        size = Size(rentals or units * years * A_YEAR, units, min(branches, units), years)
        first = _first()
        before = _bytes()
        total = 0
        for table, rows, seconds in make(size, first):
            total += rows
            self.stdout.write(f"{table:36} {rows:>12,} rows {seconds:>8.1f} s")
        began = time.perf_counter()
        call_command("rebuild_search", stdout=self.stdout)
        self.stdout.write(f"{'search':36} {'':17} {time.perf_counter() - began:>8.1f} s")
        each = (_bytes() - before) / size.rentals
        self.stdout.write(
            f"{size.rentals:,} rentals, {total:,} rows, {each / 1024:.1f} KiB a rental without its files."
        )


def _count(typed: str) -> int:
    if not typed.isdecimal() or not 1 <= int(typed) <= 10_000_000:
        raise ArgumentTypeError(f"{typed!r} is no number from 1 to 10,000,000.")
    return int(typed)


def _first() -> Rental:
    """The demo's settled rental; never beside rentals that somebody works with, never twice."""
    if Unit.objects.filter(plate__startswith="SIM ").exists():
        raise CommandError("A history was made here before. Begin with an empty database and the demo.")
    first = Rental.objects.filter(branch__operator="Larkmoor Campers", state=Rental.State.SETTLED).first()
    if first is None:
        raise CommandError("There is no settled rental of the demo. Run manage.py demo --no-serve first.")
    return first


def _bytes() -> int:
    asked = {
        "postgresql": "SELECT pg_database_size(current_database())",
        "sqlite": "SELECT page_count * page_size FROM pragma_page_count(), pragma_page_size()",
    }
    with connection.cursor() as cursor:
        cursor.execute(asked[connection.vendor])
        return int(cursor.fetchone()[0])
