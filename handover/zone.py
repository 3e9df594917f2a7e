"""Times on a page are the branch's own: a host in one zone and a desk in another read the same clock."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime

from django.utils import timezone

from fleet.models import Branch
from shared.clock import local, zone_of


@contextmanager
def in_zone_of(branch: Branch) -> Iterator[None]:
    """Within it every time that a page, a form or a message shows is in the branch's zone."""
    with timezone.override(zone_of(branch.zone)):
        yield


def today_at(branch: Branch) -> date:
    """The calendar day that the branch has now."""
    return local(timezone.now(), branch.zone).date()


def clock_at(branch: Branch, when: datetime) -> datetime:
    return local(when, branch.zone)
