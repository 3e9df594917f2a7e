"""python manage.py verify_ledger: is the ledger what was recorded? Exit code 0 when it is, 1 when it is not."""

import sys
from argparse import ArgumentParser
from collections.abc import Iterator
from contextlib import suppress
from datetime import UTC, date, datetime
from typing import Any
from uuid import UUID

from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError
from tqdm import tqdm

from handover.dayseal.checking import verify_signatures, verify_whole_day
from handover.rental.models import Rental
from shared.ledger.days import entries_of, last_seal, unsealed, verify_days
from shared.ledger.models import DaySeal, Entry
from shared.ledger.verifying import Progress, entries_to_verify, missing_triggers, verify_all, verify_chain
from shared.running.models import Mark, mark


class Command(BaseCommand):
    help = "Checks every hash chain of the ledger, the rows it states and the day seals, from the first to the last."
    requires_system_checks = ()  # evidence can be checked also while a page is broken

    def add_arguments(self, parser: ArgumentParser) -> None:
        only = parser.add_mutually_exclusive_group()
        only.add_argument("--rental", metavar="NUMBER", help="check the chain of this rental alone, by number or id")
        only.add_argument("--day", type=date.fromisoformat, metavar="YYYY-MM-DD", help="check this day, UTC, alone")
        only.add_argument(
            "--since",
            type=date.fromisoformat,
            metavar="YYYY-MM-DD",
            help="check the chains written to since this day, UTC",
        )

    def handle(
        self, *args: Any, rental: str | None, day: date | None, since: date | None, **options: Any
    ) -> None:  # fmt: skip
        chain = _chain(rental) if rental else None
        entries = _count(chain, day, since)
        problems = 0
        with tqdm(total=entries, unit=" entries", disable=not sys.stderr.isatty()) as bar:
            for problem in _problems(chain, day, since, bar.update):
                problems += 1
                bar.clear()
                self.stdout.write(problem)
        if not (chain or day or since):
            _leave_mark(entries, problems)
        if problems:
            self.stdout.write(f"The ledger does not hold: {problems} found in {entries} entries.")
            sys.exit(1)
        self.stdout.write(f"The ledger holds: {entries} entries, each as it was recorded.")
        self.stdout.write(_sealed_so_far())


def _leave_mark(entries: int, problems: int) -> None:
    """So that the metrics know how long since. The check itself is none the worse where nothing can be written."""
    with suppress(DatabaseError):
        mark(Mark.Of.LEDGER, went_well=not problems, entries=entries, problems=problems)


def _chain(rental: str) -> UUID:
    """Raises CommandError for what is neither an id nor the number of a rental."""
    try:
        return UUID(rental)
    except ValueError:
        found = Rental.objects.filter(number=rental.upper()).first()
    if found is None:
        raise CommandError(f"There is no rental {rental}. Give its number, such as LK-20418, or its id.")
    return found.pk


def _count(chain: UUID | None, day: date | None, since: date | None) -> int:
    if chain:
        return Entry.objects.filter(chain=chain).count()
    if day:
        return Entry.objects.filter(chain__in=entries_of(day).values("chain")).count()
    return entries_to_verify(_start(since))


def _start(since: date | None) -> datetime | None:
    return datetime(since.year, since.month, since.day, tzinfo=UTC) if since else None


def _problems(chain: UUID | None, day: date | None, since: date | None, progress: Progress) -> Iterator[str]:
    if chain:
        yield from missing_triggers()
        yield from verify_chain(chain, progress=progress)
    elif day:
        yield from missing_triggers()
        yield from _problems_of_day(day, progress)
    else:
        yield from verify_all(since=_start(since), progress=progress)
        yield from verify_days()
        yield from verify_signatures()


def _problems_of_day(day: date, progress: Progress) -> Iterator[str]:
    seal = DaySeal.objects.filter(day=day).first()
    if seal is None:
        yield f"{day} has no seal. manage.py seal_day seals a day when it is over and something was written on it."
    else:
        yield from verify_whole_day(seal, progress=progress)


def _sealed_so_far() -> str:
    last = last_seal()
    if last is None:
        return f"No day is sealed yet: {unsealed()} entries wait for their first seal."
    return f"{last.number} day seals, the last of {last.day}; {unsealed()} entries since the last seal."
