"""What is said to whoever has to wait: a page, or JSON where a program asks."""

from datetime import datetime
from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext as _

from shared.access.lockout.guard import counter
from shared.access.lockout.waiting import COOL_OFF
from shared.trouble import speaks_json


def stopped(request: HttpRequest, response: Any = None, credentials: dict[str, Any] | None = None) -> HttpResponse:
    """In place of the answer of a sign-in that was one wrong try too many; django-axes asks for it."""
    until = counter().stopped_until(request, credentials) or timezone.now() + COOL_OFF
    return answer(request, until)


def answer(request: HttpRequest, until: datetime) -> HttpResponse:
    response = _json(until) if _asks_json(request) else _page(request, until)
    response["Retry-After"] = str(max(int((until - timezone.now()).total_seconds()), 1))
    return response


def _asks_json(request: HttpRequest) -> bool:
    match = request.resolver_match
    return bool(match and speaks_json(match.func))


def _json(until: datetime) -> HttpResponse:
    """422, as every sentence that a tablet shows at its field."""
    said = {"error": "cannot", "sentence": sentence(until), "field": "password", "until": until.isoformat()}
    return JsonResponse(said, status=422)


def _page(request: HttpRequest, until: datetime) -> HttpResponse:
    return render(request, "sign_in/stopped.html", {"minutes": minutes_to(until), "until": until}, status=429)


def minutes_to(until: datetime) -> int:
    """Whole minutes, rounded up: nobody waits longer than was said."""
    return max(-(-int((until - timezone.now()).total_seconds()) // 60), 1)


def sentence(until: datetime) -> str:
    return _(
        "Too many wrong tries. The next can be made in %(minutes)s minutes; an administrator can lift it before."
    ) % {"minutes": minutes_to(until)}
