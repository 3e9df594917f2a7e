"""manage.py export_settlements: what the till and the accounts department book, of one branch and some days."""

from datetime import date
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from fleet.models import Branch
from handover.settlement.export import as_csv, as_json, rows


class Command(BaseCommand):
    help = "Writes the lines of settled statements and the movements of money as CSV or JSON; both days belong to it."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--branch", required=True, help="code of the branch, such as inverlark")
        parser.add_argument("--from", dest="start", required=True, help="first day, such as 2026-08-01")
        parser.add_argument("--to", dest="end", required=True, help="last day, such as 2026-08-31")
        parser.add_argument("--format", choices=["csv", "json"], default="csv")

    def handle(self, *args: Any, **options: Any) -> None:
        branch = Branch.objects.filter(code=options["branch"]).first()
        if branch is None:
            known = ", ".join(Branch.objects.values_list("code", flat=True))
            raise CommandError(f"No branch has the code {options['branch']}. Known are: {known}.")
        start, end = self._day(options["start"]), self._day(options["end"])
        if end < start:
            raise CommandError(f"{end} is before {start}. The two days may be swapped.")
        csv = options["format"] == "csv"
        text = as_csv(rows(branch, start=start, end=end)) if csv else as_json(branch, start=start, end=end)
        self.stdout.write(text, ending="" if csv else "\n")

    def _day(self, text: str) -> date:
        try:
            return date.fromisoformat(text)
        except ValueError as problem:
            raise CommandError(f"{text} is no day. Write it as 2026-08-18.") from problem
