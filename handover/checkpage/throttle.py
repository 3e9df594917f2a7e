"""Whoever guesses numbers and codes, or sends file after file, is told to wait."""

from datetime import datetime, timedelta
from enum import StrEnum

from django.db.models import F
from django.http import HttpRequest
from django.utils import timezone
from django.utils.crypto import salted_hmac

from handover.checkpage.models import CheckTry
from shared.access.address import address_of, home_of

SALT = "check page"
KEPT_FOR = timedelta(hours=2)


class Kind(StrEnum):
    PAIR = "pair"  # a number and a code that go with no Record; a right one is given back
    LOOK = "look"  # a number and a code, right or wrong: each right one is checked anew, which takes a while
    FILE = "file"  # a file to check


# In an hour and from one address. A code has some 39 bits: at this pace it is never found.
MOST = {Kind.PAIR: 20, Kind.LOOK: 200, Kind.FILE: 40}


def may_try(request: HttpRequest, kind: Kind) -> bool:
    """Counts this try before anything is looked up, so that many sent at once are counted too."""
    now = timezone.now()
    who, hour = _who(request, kind, now), _hour(now)
    CheckTry.objects.filter(hour__lt=now - KEPT_FOR).delete()
    CheckTry.objects.bulk_create([CheckTry(who=who, hour=hour)], ignore_conflicts=True)
    CheckTry.objects.filter(who=who).update(count=F("count") + 1)
    return CheckTry.objects.values_list("count", flat=True).get(who=who) <= MOST[kind]


def give_back(request: HttpRequest, kind: Kind) -> None:
    """It was no guess."""
    who = _who(request, kind, timezone.now())
    CheckTry.objects.filter(who=who, count__gt=0).update(count=F("count") - 1)


def _who(request: HttpRequest, kind: Kind, now: datetime) -> str:
    value = f"{kind}|{_hour(now).isoformat()}|{home_of(address_of(request))}"
    return salted_hmac(SALT, value, algorithm="sha256").hexdigest()


def _hour(now: datetime) -> datetime:
    return now.replace(minute=0, second=0, microsecond=0)
