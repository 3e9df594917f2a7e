"""python manage.py retention: erase what is due. --dry-run says what would go, and writes nothing. Exit code 0 or 1."""

import sys
from argparse import ArgumentParser
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand
from django.db import transaction
from django.utils import timezone
from tqdm import tqdm

from handover.retention.kinds import Kind
from handover.retention.running import Told, rentals_to_judge, run
from handover.retention.schedule import Verdict
from handover.retention.vacuum import vacuum
from handover.retention.words import NAMES
from shared.dates import dated


class Command(BaseCommand):
    help = "Erases personal data whose time is over, goes on with what persons asked for, and says what is held back."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--dry-run", action="store_true", help="say what would go and what is held; write nothing")
        parser.add_argument(
            "--vacuum", action="store_true", help="empty the free pages also when nothing was erased this time"
        )

    def handle(self, *args: Any, dry_run: bool, vacuum: bool, **options: Any) -> None:
        erased = held = failed = 0
        with tqdm(total=rentals_to_judge().count(), unit=" rentals", disable=not sys.stderr.isatty()) as bar:
            for told in run(now=timezone.now(), dry=dry_run, progress=bar.update):
                bar.clear()
                self._say(told, dry_run=dry_run)
                erased += sum(told.counts.values())
                held += len(told.held)
                failed += bool(told.problem)
        if not dry_run:
            self._tidy(needed=bool(erased) or vacuum)
        would = "would be erased" if dry_run else "erased"
        self.stdout.write(f"{erased:,} values, rows and files {would}; {held:,} held back; {failed:,} rentals failed.")
        if failed:
            sys.exit(1)

    def _say(self, told: Told, *, dry_run: bool) -> None:
        number = told.rental.number
        for kind, count in told.counts.items():
            self.stdout.write(f"{number}: {'would erase' if dry_run else 'erased'} {count} of {NAMES[Kind(kind)]}, "
                              f"{told.why.label}")  # fmt: skip
        for verdict in told.held:
            self.stdout.write(f"{number}: kept {NAMES[verdict.kind]}: {_because(verdict)}")
        if told.problem:
            self.stdout.write(f"{number}: nothing erased. {told.problem}")

    def _tidy(self, *, needed: bool) -> None:
        """Sessions and results of tasks that are over, then the free pages; these not inside a transaction."""
        call_command("clearsessions")
        if settings.TASKS["default"]["BACKEND"].endswith("DatabaseBackend"):
            call_command("prune_db_task_results", verbosity=0)
        if needed and not transaction.get_connection().in_atomic_block:
            vacuum()


def _because(verdict: Verdict) -> str:
    hold = verdict.hold
    if hold is None:
        return ""
    return f"{hold.reason} Until {dated(hold.until)}." if hold.until else f"{hold.reason} Until further notice."
