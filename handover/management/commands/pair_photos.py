"""python manage.py pair_photos: lays pairs of photos over each other that were left out, or all of them again."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from handover.photo.models import PhotoPair
from handover.photo.pairing import make_pair

LEFT_OUT = (PhotoPair.State.WAITING, PhotoPair.State.LOST)


class Command(BaseCommand):
    help = "Lays pickup and return photos over each other that wait, or whose files were missing; --all: every pair."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--all", action="store_true", help="also those that are laid already")

    def handle(self, *args: Any, **options: Any) -> None:
        pairs = PhotoPair.objects.all() if options["all"] else PhotoPair.objects.filter(state__in=LEFT_OUT)
        keys = [str(key) for key in pairs.order_by("id").values_list("pk", flat=True)]
        for key in keys:
            make_pair.call(key)
        laid = PhotoPair.objects.filter(pk__in=keys, state=PhotoPair.State.ALIGNED).count()
        self.stdout.write(f"{laid} of {len(keys)} laid over each other.")
