"""Units or bookings from a CSV file, whole or not at all."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from fleet.imports.reading import UnreadableFile, read_csv
from fleet.imports.units import UnitResource
from fleet.imports.whole_file import WholeFileResult
from handover.rental.imports import BookingResource
from shared.access.models import Person
from shared.access.roles import Right

# What is imported, and the right that it takes: the same as on the import pages.
KINDS = {"units": (UnitResource, Right.SET_UP), "bookings": (BookingResource, Right.BOOK)}


class Command(BaseCommand):
    help = (
        "Imports units or bookings from a CSV file. With one bad row nothing is imported, and every bad cell is told."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("kind", choices=sorted(KINDS))
        parser.add_argument("file", type=Path)
        parser.add_argument("--as", dest="username", required=True, help="sign-in name of the person who imports")

    def handle(self, *args: Any, **options: Any) -> None:
        resource, right = KINDS[options["kind"]]
        person = self._person(options["username"], right)
        result = resource().take_file(self._rows(options["file"]), by=person)
        self._tell(result)

    def _person(self, username: str, right: Right) -> Person:
        person = Person.objects.filter(username=username, is_active=True).first()
        if person is None:
            raise CommandError(f"Nobody signs in as {username}.")
        if not person.may(right):
            raise CommandError(f"{person} cannot import this. Name someone whose role includes it.")
        return person

    def _rows(self, file: Path) -> Any:
        try:
            rows = read_csv(file.read_bytes())
        except OSError as problem:
            raise CommandError(f"{file} cannot be opened: {problem.strerror}.") from problem
        except UnreadableFile as problem:
            raise CommandError(f"{file}: {problem}") from problem
        if not len(rows):
            raise CommandError(f"{file} has no rows under its first line.")
        return rows

    def _tell(self, result: WholeFileResult) -> None:
        for place in result.bad_places:
            self.stderr.write(str(place))
        if result.bad_places:
            raise CommandError("Nothing was imported.")
        self.stdout.write(f"Imported: {result.totals['new']} new, {result.totals['update']} changed.")
