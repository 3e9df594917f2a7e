"""python manage.py verify_files: are the photos and records what was kept? Exit code 0 when they are, 1 when not."""

import sys
from typing import Any

from django.core.management.base import BaseCommand
from tqdm import tqdm

from handover.dayseal.files import count_named, named_files, problem_of


class Command(BaseCommand):
    help = "Reads every evidence file that the database names and compares it with the digest in its name."
    requires_system_checks = ()  # evidence can be checked also while a page is broken

    def handle(self, *args: Any, **options: Any) -> None:
        files = problems = 0
        for name in tqdm(named_files(), total=count_named(), unit=" files", disable=not sys.stderr.isatty()):
            files += 1
            if problem := problem_of(name):
                problems += 1
                self.stdout.write(problem)
        if problems:
            self.stdout.write(f"{problems} of {files} files are not what was kept.")
            sys.exit(1)
        self.stdout.write(f"{files} files, each as it was kept.")
