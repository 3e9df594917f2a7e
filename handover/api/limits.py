"""How often a token may ask: counted in the database, so that several processes count together."""

import math
from datetime import datetime, timedelta

from django.conf import settings
from django.db.models import Case, F, Value, When
from django.utils.translation import gettext as _
from ninja.errors import HttpError

from handover.api.models import ApiToken, ApiUse

MINUTE = timedelta(minutes=1)


class TooOften(HttpError):
    """`wait` is in whole seconds."""

    def __init__(self, wait: int, most: int) -> None:
        sentence = _("This token asked more than %(most)s times in this minute. Ask again in %(wait)s s.")
        super().__init__(429, sentence % {"most": most, "wait": wait})
        self.wait = wait


def counted(token: ApiToken, *, now: datetime) -> None:
    """Count one more. Raises TooOften above the setting API_PER_MINUTE."""
    minute = now.replace(second=0, microsecond=0)
    again = Case(When(minute=minute, then=F("count") + 1), default=Value(1))
    rows = ApiUse.objects.filter(token=token)
    if not rows.update(count=again, minute=minute):
        ApiUse.objects.get_or_create(token=token, defaults={"minute": minute})
        rows.update(count=again, minute=minute)
    count = rows.values_list("count", flat=True).get()
    if count > settings.API_PER_MINUTE:
        raise TooOften(max(1, math.ceil((minute + MINUTE - now).total_seconds())), settings.API_PER_MINUTE)
