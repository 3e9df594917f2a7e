"""python manage.py reprice --since DATE: does every stored statement come out again byte for byte? Exit code 0 or 1."""

import os
import sys
from argparse import ArgumentParser, ArgumentTypeError
from datetime import UTC, date, datetime
from typing import Any

from django.core.management.base import BaseCommand
from tqdm import tqdm

from handover.ratecard.repricing import differences
from handover.ratecard.stored import statements_since, stored_in_chunks


class Command(BaseCommand):
    help = "Prices every stored statement again from its own inputs and lists each that is not as it was."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--since", type=date.fromisoformat, metavar="YYYY-MM-DD",
            help="only statements drawn up since this day, UTC; else all",
        )  # fmt: skip
        parser.add_argument(
            "--processes", type=_one_or_more, default=os.cpu_count() or 1, metavar="N", help="else one for each core"
        )

    def handle(self, *args: Any, since: date | None, processes: int, **options: Any) -> None:
        start = datetime(since.year, since.month, since.day, tzinfo=UTC) if since else None
        rows = statements_since(start)
        total, found = rows.count(), 0
        with tqdm(total=total, unit=" statements", disable=not sys.stderr.isatty()) as bar:
            for count, sentences in differences(stored_in_chunks(rows), processes=processes):
                for sentence in sentences:
                    bar.clear()
                    self.stdout.write(sentence)
                found += len(sentences)
                bar.update(count)
        if found:
            self.stdout.write(f"{_counted(found, 'difference')} in {_counted(total, 'statement')}.")
            sys.exit(1)
        self.stdout.write(f"0 differences: {_counted(total, 'statement')} priced again, each as it was.")


def _one_or_more(text: str) -> int:
    if not text.isdecimal() or int(text) < 1:
        raise ArgumentTypeError(f"{text} processes cannot be; 1 or more can.")
    return int(text)


def _counted(number: int, word: str) -> str:
    return f"{number:,} {word}{'' if number == 1 else 's'}"
