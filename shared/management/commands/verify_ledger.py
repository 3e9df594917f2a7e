"""python manage.py verify_ledger: is the ledger what was recorded? Exit code 0 when it is, 1 when it is not."""

import sys
from argparse import ArgumentParser
from collections.abc import Iterator
from datetime import UTC, date, datetime
from typing import Any
from uuid import UUID

from django.core.management.base import BaseCommand
from tqdm import tqdm

from shared.ledger.models import Entry
from shared.ledger.verifying import entries_to_verify, missing_triggers, verify_all, verify_chain


class Command(BaseCommand):
    help = "Checks every hash chain of the ledger, from its first entry to its last."
    requires_system_checks = ()  # evidence can be checked also while a page is broken

    def add_arguments(self, parser: ArgumentParser) -> None:
        only = parser.add_mutually_exclusive_group()
        only.add_argument("--rental", type=UUID, metavar="ID", help="check the chain of this rental alone")
        only.add_argument(
            "--since",
            type=date.fromisoformat,
            metavar="YYYY-MM-DD",
            help="check the chains written to since this day, UTC",
        )

    def handle(self, *args: Any, rental: UUID | None, since: date | None, **options: Any) -> None:
        start = datetime(since.year, since.month, since.day, tzinfo=UTC) if since else None
        entries = Entry.objects.filter(chain=rental).count() if rental else entries_to_verify(start)
        problems = 0
        with tqdm(total=entries, unit=" entries", disable=not sys.stderr.isatty()) as bar:
            for problem in _problems(rental, start, bar):
                problems += 1
                bar.clear()
                self.stdout.write(problem)
        if problems:
            self.stdout.write(f"The ledger does not hold: {problems} found in {entries} entries.")
            sys.exit(1)
        self.stdout.write(f"The ledger holds: {entries} entries, each as it was recorded.")


def _problems(rental: UUID | None, since: datetime | None, bar: Any) -> Iterator[str]:
    if rental is None:
        yield from verify_all(since=since, progress=bar.update)
    else:
        yield from missing_triggers()
        yield from verify_chain(rental, progress=bar.update)
