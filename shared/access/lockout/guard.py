"""Asked before a password or a second factor is looked at, and told afterwards; the rest axes hears by itself."""

from datetime import datetime

from axes.handlers.proxy import AxesProxyHandler
from django.contrib.auth.signals import user_login_failed
from django.db import transaction
from django.http import HttpRequest
from django.utils import timezone

from shared.access.lockout.handler import SECOND, LockoutHandler
from shared.access.models import Person
from shared.ids import uuid7
from shared.ledger.writing import append


def counter() -> LockoutHandler:
    found = AxesProxyHandler.get_implementation()
    assert isinstance(found, LockoutHandler)  # noqa: S101 - the settings name it
    return found


def stopped_until(request: HttpRequest, name: str, *, second: bool = False) -> datetime | None:
    """When this name may try again from here; None when it may now."""
    AxesProxyHandler.update_request(request)
    return counter().stopped_until(request, _counted_as(name, second=second))


def was_wrong(request: HttpRequest, name: str, *, second: bool = False) -> datetime | None:
    """Counts a wrong try that no sign-in form made. Gives until when the next has to wait, if it has to."""
    user_login_failed.send(sender=__name__, credentials=_counted_as(name, second=second), request=request)
    return stopped_until(request, name, second=second)


def is_in(request: HttpRequest, name: str) -> None:
    """Whoever is in, with all that was asked for, starts from nought."""
    AxesProxyHandler.update_request(request)
    for second in (False, True):
        counter().reset_user_attempts(request, _counted_as(name, second=second))


def _counted_as(name: str, *, second: bool) -> dict[str, str]:
    return {"username": f"{name}{SECOND}" if second else name}


def keep_in_the_ledger(sender: object, request: HttpRequest, username: str | None, **rest: object) -> None:
    """That somebody who works here has to wait: once, when the last try is made, and not for those that are refused."""
    if getattr(request, "axes_failures_since_start", None) is None or not username:
        return
    person = Person.objects.filter(username=username.removesuffix(SECOND)).first()
    if person is None:
        return
    with transaction.atomic():
        append(
            chain=person.pk, kind="sign_in.stopped", payload={"second_factor": username.endswith(SECOND)}, by=None,
            key=uuid7(), happened_at=timezone.now(), subject=person.pk,
        )  # fmt: skip
