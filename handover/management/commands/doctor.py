"""python manage.py doctor: what is wrong here, and what to do about it. Exit code 0 when nothing is, 1 otherwise."""

import json
import sys
from argparse import ArgumentParser
from dataclasses import asdict
from typing import Any

from django.core.management.base import BaseCommand

from handover.running.doctor import CHECKS
from shared.running.doctor.finding import Finding, examine


class Command(BaseCommand):
    help = "Looks at settings, machine, database, store, keys and queues, and says what is wrong in sentences."
    requires_system_checks = ()  # it says more than they do

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--json", action="store_true", help="a list of name, sentence, do, wrong")

    def handle(self, *args: Any, **options: Any) -> None:
        found = sorted(examine(CHECKS), key=lambda finding: not finding.wrong)
        if options["json"]:
            self.stdout.write(json.dumps([asdict(finding) for finding in found], indent=2, ensure_ascii=False))
        else:
            self._say(found)
        if any(finding.wrong for finding in found):
            sys.exit(1)

    def _say(self, found: list[Finding]) -> None:
        for finding in found:
            self.stdout.write(f"{'WRONG' if finding.wrong else 'Note '}  {finding.sentence}\n       {finding.do}")
        wrong = sum(finding.wrong for finding in found)
        self.stdout.write(f"{wrong} of {len(CHECKS)} things looked at are wrong." if wrong else "Nothing is wrong.")
