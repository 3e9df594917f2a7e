"""A history to tamper with: the demo's rentals played over four days, sealed, with entries since the last seal."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from io import StringIO
from unittest.mock import patch

from django.core.management import call_command

from handover.acting import CannotBe
from handover.demo.playing import send_out
from handover.rental.models import Rental
from shared.access.models import Person


@contextmanager
def days_ago(days: int) -> Iterator[None]:
    with patch("django.utils.timezone.now", side_effect=lambda: datetime.now(UTC) - timedelta(days=days)):
        yield


def build() -> None:
    """In the database at hand. Seals are made now, with a key made now, over the days that are over."""
    with days_ago(3):
        call_command("demo", "--no-serve", stdout=StringIO())
    for days in (2, 1, 0):
        with days_ago(days):
            _one_more_out()
        if days == 1:
            call_command("seal_day", stdout=StringIO())


def _one_more_out() -> None:
    """The next booking's pickup, as far as it goes; a unit that something holds stays."""
    for rental in Rental.objects.filter(state=Rental.State.BOOKED, branch__code="inverlark"):
        try:
            send_out(rental, host=Person.objects.get(username="isla"))
        except CannotBe:
            continue
        return
