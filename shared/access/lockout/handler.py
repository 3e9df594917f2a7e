"""What django-axes counts, with two limits in place of one: by name and address, and by address alone."""

from datetime import datetime
from typing import Any

from axes.handlers.database import AxesDatabaseHandler
from axes.models import AccessAttempt
from django.db.models import QuerySet, Sum
from django.http import HttpRequest

from shared.access.lockout.waiting import OF_A_NAME, OF_AN_ADDRESS, stopped_until

SECOND = " (second factor)"
Credentials = dict[str, Any] | None
Parameters = list[str | list[str]]


def parameters(request: HttpRequest, credentials: Credentials = None) -> Parameters:
    """By which columns tries are counted. Of a second factor by the name alone, from wherever it was tried."""
    name = str((credentials or {}).get("username") or "")
    return ["username"] if name.endswith(SECOND) else [["username", "ip_address"], "ip_address"]


class LockoutHandler(AxesDatabaseHandler):  # type: ignore[misc]
    """The limit that axes knows is the one of a name; tries of an address are brought to that scale."""

    def get_failures(self, request: HttpRequest, credentials: Credentials = None) -> int:
        of_a_name, *of_an_address = self.get_user_attempts(request, credentials)
        scaled = [_sum(rows) * OF_A_NAME // OF_AN_ADDRESS for rows in of_an_address]
        return max([_sum(of_a_name), *scaled])

    def stopped_until(self, request: HttpRequest, credentials: Credentials = None) -> datetime | None:
        """When the next try may be made; None when it may be now."""
        limits = (OF_A_NAME, OF_AN_ADDRESS)
        found = [
            stopped_until(rows.values_list("attempt_time", "failures_since_start"), limit)
            for rows, limit in zip(self.get_user_attempts(request, credentials), limits, strict=False)
        ]
        return max((until for until in found if until), default=None)

    def reset_user_attempts(self, request: HttpRequest, credentials: Credentials = None) -> int:
        """Of this name from this address: signing in once does not forgive what else was guessed from there."""
        of_a_name, *_of_an_address = self.filter_user_attempts(request, credentials)
        count, _by_model = of_a_name.delete()
        return int(count)


def _sum(rows: "QuerySet[AccessAttempt]") -> int:
    return int(rows.aggregate(all=Sum("failures_since_start"))["all"] or 0)
