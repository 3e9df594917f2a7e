"""python manage.py restore FOLDER|FILE.tar: a backup comes back, and the ledger is checked. Exit code 0 or 1."""

import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from tqdm import tqdm

from shared.dates import dated_moment
from shared.files.away import StoreAway
from shared.running.backup.bringing_back import bring_back, other_heads
from shared.running.backup.manifest import NoBackup
from shared.running.backup.place import opened


class Command(BaseCommand):
    help = "Puts a backup into an empty place, after checking every part of it, and says whether the ledger holds."
    requires_system_checks = ()  # there may be no table yet

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("place", type=Path, metavar="FOLDER|FILE.tar")
        parser.add_argument("--over", action="store_true", help="replace the database that is there")

    def handle(self, *args: Any, place: Path, over: bool, **options: Any) -> None:
        try:
            with opened(place) as folder:
                self._bring_back(folder, over=over)
                problems = list(other_heads(folder))
        except (NoBackup, StoreAway, OSError) as fault:
            raise CommandError(f"{fault}") from fault
        self.stdout.write("\n".join(problems) or "Every chain ends where it ended when the backup was made.")
        self._say_pending()
        if not (self._holds("verify_ledger") & self._holds("verify_files")) or problems:
            sys.exit(1)

    def _bring_back(self, folder: Path, *, over: bool) -> None:
        with tqdm(unit=" files", disable=not sys.stderr.isatty()) as bar:
            brought = bring_back(folder, over=over, progress=bar.update)
        self.stdout.write(
            f"Restored as of {dated_moment(brought.manifest.moment)} (UTC): {brought.manifest.entries:,} entries of "
            f"the ledger, {brought.files:,} files. What was written since is not in it."
        )
        self.stdout.write("What was erased since is in it again: manage.py retention erases it anew.")

    def _say_pending(self) -> None:
        executor = MigrationExecutor(connection)
        if executor.migration_plan(executor.loader.graph.leaf_nodes()):
            self.stdout.write(
                "The backup is of an earlier version: manage.py migrate brings its tables up to this one."
            )

    def _holds(self, command: str) -> bool:
        try:
            call_command(command, stdout=self.stdout)
        except SystemExit:
            return False
        return True
