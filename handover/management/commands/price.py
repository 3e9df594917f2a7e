"""manage.py price FILE: what is owed for a pricing document, with the workings of every line."""

import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from handover.charges.answer import answer

WRONG_DOCUMENT = 2


class Command(BaseCommand):
    help = "Price a case document (JSON), or every case of a file with cases; - reads standard input."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", help="path of the JSON file, or - for standard input")

    def handle(self, *args: Any, **options: Any) -> None:
        text = self._read(options["file"])
        answered = answer(text)
        if answered.problems:
            self._refuse(*(str(problem) for problem in answered.problems))
        self.stdout.write(answered.text)

    def _read(self, name: str) -> str:
        try:
            data = sys.stdin.buffer.read() if name == "-" else Path(name).read_bytes()
            return data.decode("utf-8-sig")
        except OSError as error:
            self._refuse(f"{name} cannot be read: {error.strerror}. The path of a JSON file can be given, or -.")
        except UnicodeDecodeError:
            self._refuse(f"{name} is not text in UTF-8; a JSON document is.")
        return ""

    def _refuse(self, *sentences: str) -> None:
        for sentence in sentences:
            self.stderr.write(sentence)
        sys.exit(WRONG_DOCUMENT)
