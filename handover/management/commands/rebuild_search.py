"""python manage.py rebuild_search: make the search anew from the rows it follows, after an import past the program."""

import sys
from itertools import islice
from typing import Any

from django.core.management.base import BaseCommand
from django.db import transaction
from tqdm import tqdm

from handover.search.indexing import add, everything, followed_tables
from handover.search.models import SearchRow, SearchWord
from handover.search.telling import Told

AT_ONCE = 1000


class Command(BaseCommand):
    help = "Makes the search anew. Until it is done, searching finds what it found before."

    @transaction.atomic
    def handle(self, *args: Any, verbosity: int, **options: Any) -> None:
        SearchWord.objects.all()._raw_delete(SearchWord.objects.db)
        SearchRow.objects.all()._raw_delete(SearchRow.objects.db)
        total = sum(table.count() for table in followed_tables())
        with tqdm(total=total, unit=" rows", disable=not sys.stderr.isatty()) as bar:
            told = everything(progress=bar.update)
            count = sum(_kept(chunk) for chunk in iter(lambda: list(islice(told, AT_ONCE)), []))
        if verbosity:
            self.stdout.write(f"{count:,} things can be found.")


def _kept(chunk: list[Told]) -> int:
    add(chunk)
    return len(chunk)
