"""What answers where a request cannot be read or a page breaks. Nothing of the request is looked at again.

Django's own views would: they check the form's token, and with it read the body that could not be read.
"""

import errno
import sys
from typing import Any

from django.db import InterfaceError, OperationalError
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.views.csrf import csrf_failure

from shared.running.logs.context import REQUEST_ID

RETRY_AFTER_S = 10


def not_understood(request: HttpRequest, exception: Exception) -> HttpResponse:
    return HttpResponse(render_to_string("400.html"), status=400)


def broken(request: HttpRequest) -> HttpResponse:
    """With the reference under which the server's log tells what broke.

    What ends by itself or by whoever runs the server is told as that, and not as a fault of the page: 503.
    """
    said = {"reference": REQUEST_ID.get()}
    if away := _away(sys.exc_info()[1]):
        answer = HttpResponse(render_to_string("503.html", said | {"away": away}), status=503)
        answer["Retry-After"] = str(RETRY_AFTER_S)
        return answer
    return HttpResponse(render_to_string("500.html", said), status=500)


def _away(problem: BaseException | None) -> str:
    """Which part of the server does not answer: database, disk; empty for a fault."""
    if isinstance(problem, OSError) and problem.errno in {errno.ENOSPC, errno.EDQUOT}:
        return "disk"
    if isinstance(problem, OperationalError):
        return "disk" if "disk is full" in str(problem) else "database"
    return "database" if isinstance(problem, InterfaceError) else ""


def of_another_sign_in(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form, or what a tablet sends, under the token of another sign-in; a tablet fetches a new one."""
    match = request.resolver_match
    if match and speaks_json(match.func):
        return JsonResponse({"error": "csrf"}, status=403)
    return csrf_failure(request, reason)


def speaks_json(view: Any) -> bool:
    """Whether a view answers a program, not a person; handover/tablet/answering.py marks them."""
    return getattr(view, "speaks_json", False)
