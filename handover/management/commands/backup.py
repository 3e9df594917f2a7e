"""python manage.py backup FOLDER|FILE.tar: database and files as they are, while the server goes on writing."""

import sys
from argparse import ArgumentParser
from datetime import UTC
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone
from tqdm import tqdm

from handover.running.keys import copy_keys, where_they_live
from shared.running.backup.making import Made, back_up
from shared.running.backup.manifest import NoBackup
from shared.running.backup.place import dated as dated_place
from shared.running.backup.place import drop_oldest


class Command(BaseCommand):
    help = "Copies the database, photos and records to a new folder or .tar file, with the digest of every part."
    requires_system_checks = ()  # a backup is made also while a page is broken

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("place", type=Path, metavar="FOLDER|FILE.tar")
        parser.add_argument("--dated", action="store_true", help="a new folder in FOLDER, named by the time in UTC")
        parser.add_argument("--keep", type=int, metavar="N", help="with --dated: delete all but the newest N of these")
        parser.add_argument("--without-files", action="store_true", help="photos and records are kept safe elsewhere")
        parser.add_argument("--keys", type=Path, metavar="FOLDER", help="copy the keys to this new folder, apart")

    def handle(
        self, *args: Any, place: Path, dated: bool, keep: int | None, without_files: bool, keys: Path | None,
        **options: Any,
    ) -> None:  # fmt: skip
        if keep is not None and (not dated or keep < 1):
            raise CommandError("--keep goes with --dated, and keeps at least one.")
        try:
            _check_apart(keys, place)
            made = self._make(place, dated=dated, with_files=not without_files)
            self._say_keys(keys)
            self._drop(place, keep)
        except (NoBackup, OSError) as fault:
            raise CommandError(f"{fault}") from fault
        if made.problems:
            self.stdout.write("\n".join(made.problems))
            sys.exit(1)

    def _make(self, place: Path, *, dated: bool, with_files: bool) -> Made:
        now = timezone.now().astimezone(UTC)
        to = dated_place(place, now) if dated else place
        with tqdm(unit=" files", disable=not sys.stderr.isatty()) as bar:
            made = back_up(to, now=now, with_files=with_files, progress=bar.update)
        said = made.manifest
        files = "photos and records are not in it" if said.files is None else f"{said.files:,} files"
        self.stdout.write(
            f"{to}: {said.entries:,} entries of the ledger in {said.chains:,} chains, {files}, "
            f"{said.size / 1e6:,.1f} MB. It holds personal data: keep it as the server is kept."
        )
        return made

    def _say_keys(self, keys: Path | None) -> None:
        if keys is None:
            self.stdout.write("The keys are not in it. " + " ".join(where_they_live()))
            self.stdout.write("--keys FOLDER copies them to a place of their own.")
            return
        self.stdout.write(f"{keys}: {', '.join(copy_keys(keys))}. Whoever has these can sign as the operator.")

    def _drop(self, place: Path, keep: int | None) -> None:
        for gone in drop_oldest(place, keep=keep) if keep else ():
            self.stdout.write(f"{gone} is deleted.")


def _check_apart(keys: Path | None, place: Path) -> None:
    """Before anything is made. Raises NoBackup."""
    if keys is None:
        return
    if keys.resolve().is_relative_to(place.resolve()):
        raise NoBackup("The keys go to a folder outside the backup: whoever finds one shall not have the other.")
    if keys.exists():
        raise NoBackup(f"{keys} is there already. The keys go to a new folder.")
