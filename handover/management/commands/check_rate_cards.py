"""python manage.py check_rate_cards: gaps, overlaps and missing prices of every branch. Exit code 0 or 1."""

import sys
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from fleet.models import Branch
from handover.ratecard.validity import check_rate_cards
from handover.zone import today_at


class Command(BaseCommand):
    help = "Says which days have no rate card or two, and what a branch has that its rate cards have no price for."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--branch", metavar="CODE", help="only this branch")

    def handle(self, *args: Any, branch: str | None, **options: Any) -> None:
        branches = Branch.objects.filter(code=branch) if branch else Branch.objects.all()
        if branch and not branches:
            raise CommandError(
                f"{branch} is no branch. Known: {', '.join(Branch.objects.values_list('code', flat=True))}."
            )
        found = [f"{each}. {trouble}" for each in branches for trouble in check_rate_cards(each, today=today_at(each))]
        for sentence in found:
            self.stdout.write(sentence)
        if found:
            sys.exit(1)
        self.stdout.write("The rate cards hold: every day has one, and nothing that a branch has lacks a price.")
