"""python manage.py verify_record FILE.pdf [--root CA.pem]: valid, or exactly why not."""

import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.exceptions import ImproperlyConfigured
from django.core.management.base import BaseCommand

from handover.record.keys import read_certificates, trusted_roots
from handover.record.verify import verify


class Command(BaseCommand):
    help = "Says whether a PDF is a Record as it was sealed, or exactly why not. Exit code 0 or 1."
    requires_system_checks = ()  # a Record must be checkable where nothing else is set up

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="the PDF")
        parser.add_argument("--root", type=Path, help="the operator's root certificate (PEM); else the one in use here")

    def handle(self, *args: Any, file: Path, root: Path | None, **options: Any) -> None:
        try:
            roots = read_certificates(root) if root else trusted_roots()
            verdict = verify(file.read_bytes(), roots=roots)
        except (OSError, ValueError, ImproperlyConfigured) as fault:
            self.refuse(f"Not checked: {fault}")
        for sentence in verdict.sentences:
            self.stdout.write(sentence)
        if not verdict.valid:
            self.refuse("Not valid.")
        self.stdout.write("Valid.")

    def refuse(self, sentence: str) -> None:
        self.stderr.write(sentence)
        sys.exit(1)
