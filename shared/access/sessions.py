"""Where people are signed in: noted beside the sessions, listed on one's own page, ended one by one or all at once."""

from collections.abc import Sequence
from contextlib import suppress
from datetime import timedelta
from uuid import UUID

from django.conf import settings
from django.contrib.auth import SESSION_KEY
from django.contrib.sessions.models import Session
from django.core.cache import cache
from django.db import OperationalError
from django.db.models import QuerySet
from django.http import HttpRequest
from django.utils import timezone

from shared.access.here import DEVICE
from shared.access.models import Person, SignedIn
from shared.ids import uuid7

SEEN_EVERY = timedelta(minutes=5)
SINCE = "signed_in_at"
# The first that fits: each browser also calls itself by the names of those that follow.
BROWSERS = (("Edg", "Edge"), ("OPR", "Opera"), ("Firefox", "Firefox"), ("Chrome", "Chrome"), ("Safari", "Safari"))
SYSTEMS = (
    ("Android", "Android"), ("iPad", "iPad"), ("iPhone", "iPhone"), ("Windows", "Windows"), ("Mac OS", "Mac"),
    ("CrOS", "Chromebook"), ("Linux", "Linux"),
)  # fmt: skip


def note_sign_in(request: HttpRequest) -> None:
    """After the session was saved: at sign-in, whenever its key or device changed, and each SEEN_EVERY."""
    key = request.session.session_key
    if not key or SESSION_KEY not in request.session:
        return
    if not cache.add(_seen(key), 1, SEEN_EVERY.total_seconds()) and not request.session.modified:
        return
    now = timezone.now()
    row = SignedIn(
        id=uuid7(), session_key=key, person_id=UUID(request.session[SESSION_KEY]), since=now, seen_at=now,
        device=_device(request), browser=browser_in(request.headers.get("User-Agent", "")),
    )  # fmt: skip
    # No page is refused because this list could not be written just now: it is a list to look at.
    with suppress(OperationalError):
        SignedIn.objects.bulk_create(
            [row], update_conflicts=True, unique_fields=["session_key"],
            update_fields=["person", "device", "browser", "seen_at"],
        )  # fmt: skip


def begins(sender: object, request: HttpRequest, **rest: object) -> None:
    """When somebody signs in: rows of sessions that are over go; the new one has just been seen, and is timed."""
    request.session[SINCE] = timezone.now().timestamp()
    long_ago = timezone.now() - timedelta(seconds=2 * settings.SESSION_COOKIE_AGE)
    SignedIn.objects.filter(seen_at__lt=long_ago).delete()
    if request.session.session_key:
        cache.set(_seen(request.session.session_key), 1, SEEN_EVERY.total_seconds())


def is_over(request: HttpRequest) -> bool:
    """A shift after the sign-in, however much was done in it; one without a time is of before times were kept."""
    since = request.session.get(SINCE)
    return since is not None and since < timezone.now().timestamp() - settings.SESSION_COOKIE_AGE


def _seen(key: str) -> str:
    return f"seen.{key}"


def _device(request: HttpRequest) -> UUID | None:
    said = request.session.get(DEVICE)
    return UUID(said) if said else None


def browser_in(agent: str) -> str:
    """Firefox, Android: as far as the browser tells; empty where it does not."""
    found = [next((name for word, name in words if word in agent), "") for words in (BROWSERS, SYSTEMS)]
    return ", ".join(name for name in found if name)


def open_sessions(person: Person) -> "QuerySet[SignedIn]":
    open_now = Session.objects.filter(expire_date__gt=timezone.now()).values("session_key")
    return SignedIn.objects.filter(person=person, session_key__in=open_now)


def sessions_of(person: Person, *, but: str | None = None) -> Sequence[SignedIn]:
    """The latest first; `but` leaves one key out."""
    return list(open_sessions(person).exclude(session_key=but or ""))


def end(rows: "QuerySet[SignedIn]") -> int:
    """How many sessions there were."""
    keys = list(rows.values_list("session_key", flat=True))
    count, _by_model = Session.objects.filter(pk__in=keys).delete()
    SignedIn.objects.filter(session_key__in=keys).delete()
    return count


def end_all(person: Person) -> int:
    return end(SignedIn.objects.filter(person=person))


def end_on_device(device_id: UUID) -> int:
    return end(SignedIn.objects.filter(device=device_id))
