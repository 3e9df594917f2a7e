"""manage.py deliver_webhooks: what happened is told to the webhooks that ask for it, and sent again where it is due."""

import time
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.utils import timezone

from handover.api.keys import forget_old
from handover.api.webhooks.delivering import pass_on


class Command(BaseCommand):
    help = "Finds what is new in the ledger and sends what is due. Once for cron; --every 10 stays and looks each 10 s."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--every", type=float, default=0, help="stay, and look again after so many seconds")

    def handle(self, *args: Any, **options: Any) -> None:
        self._pass()
        while options["every"]:
            time.sleep(options["every"])
            self._pass()

    def _pass(self) -> None:
        now = timezone.now()
        found, handed = pass_on(now=now)
        forget_old(now=now)
        if found or handed:
            self.stdout.write(f"{found} events found, {handed} deliveries handed out.")
