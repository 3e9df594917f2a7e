"""The session of a shared tablet: handed to another person, or locked until somebody says who they are."""

from uuid import UUID

from django.contrib.auth import login
from django.http import HttpRequest
from django.utils import timezone

from shared.access.models import Person
from shared.access.second_factor.policy import GIVEN, given_on, note

DEVICE, LOCKED = "device", "locked"
BACKEND = "django.contrib.auth.backends.ModelBackend"


def hand_to(request: HttpRequest, person: Person, device_id: UUID) -> None:
    """Of another person a new session; of the same one the old, unlocked. Both under a new key."""
    login(request, person, backend=BACKEND)
    settle(request, device_id)
    if given := given_on(device_id, person, now=timezone.now()):
        note(request.session, GIVEN, person, at=given)


def settle(request: HttpRequest, device_id: UUID) -> None:
    """After any sign-in: the session is of this device, and open."""
    request.session[DEVICE] = str(device_id)
    request.session.pop(LOCKED, None)


def lock(request: HttpRequest) -> None:
    """Nothing ends: whoever was signed in still is, but every page asks first who is there."""
    request.session[LOCKED] = True


def is_locked(request: HttpRequest) -> bool:
    return bool(request.session.get(LOCKED))
