"""What a tablet hears when it says hello: who is signed in, the clock, and the token that proves it later."""

from datetime import UTC, datetime
from typing import Any

from django.conf import settings
from django.contrib.auth import logout
from django.http import HttpRequest
from django.middleware.csrf import get_token
from django.utils import timezone
from django.utils.translation import get_language

from handover.tablet.devices import SESSION_KEY, device_of, token_for
from handover.tablet.shell import shell_version
from shared.access.models import Device, Person
from shared.access.requests import PersonRequest


def greet(request: PersonRequest, device_id: Any) -> dict[str, Any]:
    """As contracted. Ties the session to the device; on a revoked one nobody stays signed in."""
    person: Person | None = request.user if request.user.is_authenticated else None
    device = device_of(device_id, person) if person and device_id else None
    if device and device.revoked_at:
        logout(request)
        person = device = None
    if device:
        request.session[SESSION_KEY] = str(device.pk)
    return said(request, person, device)


def said(request: HttpRequest, person: Person | None, device: Device | None) -> dict[str, Any]:
    """The body of the answer; the token is empty while nobody is signed in."""
    return {
        "person": person_said(person) if person else None,
        "csrf": get_token(request),
        "now": instant(timezone.now()),
        "token": token_for(person, device) if person and device else "",
        "version": shell_version(),
        "language": get_language(),
        "idle_minutes": settings.TABLET_IDLE_MINUTES,
    }


def person_said(person: Person) -> dict[str, str]:
    return {"id": str(person.pk), "name": str(person), "short_name": person.short_name}


def instant(when: datetime) -> str:
    """ISO 8601 in UTC with milliseconds, as a browser's Date writes and reads it."""
    return when.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
