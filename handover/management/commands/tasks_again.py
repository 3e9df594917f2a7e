"""python manage.py tasks_again: what a worker that was killed left half done is done again. Nothing is made twice."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from handover.running.unmade import order_again
from shared.running.tasks import of_worker, stale, take_again


class Command(BaseCommand):
    help = "Puts tasks whose worker is gone back among those that wait."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--worker", metavar="ID", help="this worker is about to start: all that it had begun")
        parser.add_argument("--failed", action="store_true", help="also those that ended in an error")
        parser.add_argument("--unmade", action="store_true", help="also order anew what waits and has no task")

    def handle(self, *args: Any, worker: str | None, failed: bool, unmade: bool, **options: Any) -> None:
        again = take_again(stale(timezone.now()))
        again += take_again(of_worker(worker)) if worker else 0
        again += take_again(DBTaskResult.objects.failed()) if failed else 0
        self.stdout.write(f"{again} tasks wait again.")
        if unmade:
            ordered = sum(1 for _row in order_again(timezone.now()))
            self.stdout.write(f"{ordered} records, letters, bundles, e-mails and pairs of photos are ordered anew.")
