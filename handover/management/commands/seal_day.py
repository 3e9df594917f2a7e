"""python manage.py seal_day [--day YYYY-MM-DD]: seals every day that is over. To be run daily, soon after midnight."""

from argparse import ArgumentParser
from datetime import date
from typing import Any

from django.core.exceptions import ImproperlyConfigured
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone
from pyhanko.sign.general import SigningError
from pyhanko.sign.timestamps import TimestampRequestError
from tqdm import tqdm

from handover.dayseal.sealing import seal_days
from shared.ledger.day_document import read_document
from shared.ledger.days import days_to_seal, unsealed
from shared.ledger.models import DaySeal


class Command(BaseCommand):
    help = "Signs the Merkle root of every closed day (UTC) that is not sealed yet. What is sealed stays as it is."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--day", type=date.fromisoformat, metavar="YYYY-MM-DD", help="no day after this one")

    def handle(self, *args: Any, day: date | None, **options: Any) -> None:
        now = timezone.now()
        waiting = [each for each in days_to_seal(now) if day is None or each <= day]
        try:
            for seal in tqdm(seal_days(now=now, only=day), total=len(waiting), unit=" days", disable=None):
                said = read_document(seal.document)
                self.stdout.write(
                    f"{seal.day}: {said['entries']} entries, {said['leaves']} chains, root {said['root']}"
                )
        except (ImproperlyConfigured, SigningError, TimestampRequestError, OSError) as fault:
            raise CommandError(f"The day is not sealed: {fault}. Nothing of it is kept; run it again later.") from fault
        if day and not DaySeal.objects.filter(day=day).exists():
            raise CommandError(
                f"{day} is not sealed: it is not over yet, nothing was written on it, or a later one is."
            )
        self.stdout.write(f"{DaySeal.objects.count()} days are sealed; {unsealed()} entries since the last seal.")
