"""python manage.py prove_history DAY DAY: proves that the later day seal vouches for all up to the earlier one."""

import json
from argparse import ArgumentParser
from datetime import date
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shared.ledger.history import NotOneHistory, history_proof
from shared.ledger.models import DaySeal


class Command(BaseCommand):
    help = "Prints, as JSON, the proof (RFC 9162) that the seal of a later day goes on from that of an earlier one."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("earlier", type=date.fromisoformat, metavar="YYYY-MM-DD")
        parser.add_argument("later", type=date.fromisoformat, metavar="YYYY-MM-DD")

    def handle(self, *args: Any, earlier: date, later: date, **options: Any) -> None:
        try:
            proof = history_proof(_seal(earlier), _seal(later))
        except NotOneHistory as problem:
            raise CommandError(str(problem)) from problem
        self.stdout.write(json.dumps(proof, indent=1))


def _seal(day: date) -> DaySeal:
    seal = DaySeal.objects.filter(day=day).first()
    if seal is None:
        raise CommandError(f"{day} has no seal.")
    return seal
