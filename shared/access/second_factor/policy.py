"""Who gives a second factor, and how long one that was given lasts.

Required of managers, coordinators and administrators where LEVELPEG_SECOND_FACTOR says so, and asked of everybody who
has set one up. Given once, it lasts a shift on that device: within it a PIN or password alone takes the tablet over.
"""

from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.conf import settings
from django.contrib.sessions.backends.base import SessionBase

from shared.access.models import DevicePerson, Person
from shared.access.roles import Role

REQUIRED_OF = frozenset({Role.MANAGER, Role.COORDINATOR, Role.ADMINISTRATOR})
LASTS = timedelta(seconds=settings.SESSION_COOKIE_AGE)
# Before a factor is added or taken away, the password: not longer ago than this.
PROVED_FOR = timedelta(minutes=15)
GIVEN, PROVED = "second_factor", "password_proved"


def must_have(person: Person) -> bool:
    return settings.SECOND_FACTOR == "required" and person.role in REQUIRED_OF


def is_asked_of(person: Person) -> bool:
    return person.has_second_factor or must_have(person)


def is_outstanding(session: SessionBase, person: Person, *, now: datetime) -> bool:
    """Nobody is signed in before it is given; SecondFactorMiddleware holds to that."""
    return is_asked_of(person) and not _stands(session, GIVEN, person, now=now, lasts=LASTS)


def is_proved(session: SessionBase, person: Person, *, now: datetime) -> bool:
    return _stands(session, PROVED, person, now=now, lasts=PROVED_FOR)


def note(session: SessionBase, what: str, person: Person, *, at: datetime) -> None:
    """GIVEN or PROVED, by this person; in a session that goes to somebody else it means nothing."""
    session[what] = {"of": str(person.pk), "at": at.timestamp()}


def given_on(device_id: UUID | None, person: Person, *, now: datetime) -> datetime | None:
    """When the second factor was given on this device, if that was within the shift."""
    rows = DevicePerson.objects.filter(device=device_id, person=person, second_at__gt=now - LASTS)
    return rows.values_list("second_at", flat=True).first() if device_id else None


def may_take_over(device_id: UUID | None, person: Person, *, now: datetime) -> bool:
    """By PIN or password alone, without the page that asks for the second factor."""
    return not is_asked_of(person) or given_on(device_id, person, now=now) is not None


def _stands(session: SessionBase, what: str, person: Person, *, now: datetime, lasts: timedelta) -> bool:
    said: dict[str, Any] = session.get(what) or {}
    return bool(said) and said["of"] == str(person.pk) and said["at"] > (now - lasts).timestamp()
