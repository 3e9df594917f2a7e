"""What a tablet hears when it says hello: who is signed in, the clock, and the token that proves it later."""

from datetime import UTC, datetime
from typing import Any
from uuid import UUID

from django.contrib.auth import logout
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.utils import timezone
from django.utils.translation import get_language

from handover.tablet.devices import device_of, token_for
from handover.tablet.idle import idle_minutes_of
from handover.tablet.shell import shell_version
from shared.access.device_cookie import device_in, give_device
from shared.access.here import DEVICE, is_locked, settle
from shared.access.models import Device, Person
from shared.access.requests import PersonRequest
from shared.ids import uuid7


def greet(request: PersonRequest, device_id: UUID | None, *, by_password: bool = False) -> HttpResponse:
    """As contracted. Ties session and browser to the device; on a revoked one nobody stays signed in."""
    person: Person | None = request.user if request.user.is_authenticated else None
    is_new = by_password or not Device.objects.filter(pk=device_id or uuid7()).exists()
    device = device_of(device_id, person, by_password=by_password) if person and device_id else None
    if device and device.revoked_at:
        logout(request)
        person = device = None
    if device and by_password:
        settle(request, device.pk)
    elif device:
        request.session[DEVICE] = str(device.pk)
    response = JsonResponse(said(request, person, device))
    # The cookie opens the tablet to PINs: an id that somebody else made and one only names does not get it.
    if device and is_new:
        give_device(response, device.pk)
    return response


def said(request: HttpRequest, person: Person | None, device: Device | None) -> dict[str, Any]:
    """The body of the answer; the token is empty while nobody is signed in."""
    known = device_in(request)
    return {
        "person": person_said(person) if person else None,
        "device": str(device.pk if device else known or ""),
        "csrf": get_token(request),
        "now": instant(timezone.now()),
        "token": token_for(person, device) if person and device else "",
        "version": shell_version(),
        "language": get_language(),
        "idle_minutes": idle_minutes_of(person),
        "locked": is_locked(request),
    }


def person_said(person: Person) -> dict[str, str]:
    return {"id": str(person.pk), "name": str(person), "short_name": person.short_name}


def instant(when: datetime) -> str:
    """ISO 8601 in UTC with milliseconds, as a browser's Date writes and reads it."""
    return when.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
