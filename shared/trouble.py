"""What answers where a request cannot be read or a page breaks. Nothing of the request is looked at again.

Django's own views would: they check the form's token, and with it read the body that could not be read.
"""

from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.views.csrf import csrf_failure

from shared.running.logs.context import REQUEST_ID


def not_understood(request: HttpRequest, exception: Exception) -> HttpResponse:
    return HttpResponse(render_to_string("400.html"), status=400)


def broken(request: HttpRequest) -> HttpResponse:
    """With the reference under which the server's log tells what broke."""
    return HttpResponse(render_to_string("500.html", {"reference": REQUEST_ID.get()}), status=500)


def of_another_sign_in(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form, or what a tablet sends, under the token of another sign-in; a tablet fetches a new one."""
    match = request.resolver_match
    if match and speaks_json(match.func):
        return JsonResponse({"error": "csrf"}, status=403)
    return csrf_failure(request, reason)


def speaks_json(view: Any) -> bool:
    """Whether a view answers a program, not a person; handover/tablet/answering.py marks them."""
    return getattr(view, "speaks_json", False)
