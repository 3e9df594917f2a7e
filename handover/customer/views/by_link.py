"""How a page is reached by its link alone: nobody signs in, nothing is told to others, and why a link opens nothing."""

from collections.abc import Callable
from functools import wraps
from typing import Any, Concatenate, ParamSpec, cast

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import override
from django.views.decorators.csrf import csrf_exempt

from handover.cabcard.tongues import HOUSE, Tongues
from handover.customer.opening import Closed, Visit, visit_by
from handover.zone import in_zone_of

P = ParamSpec("P")
Page = Callable[Concatenate[HttpRequest, Visit, P], HttpResponse]
View = Callable[Concatenate[HttpRequest, str, P], HttpResponse]
# The token stands in the address: no search machine, no other site and no cache may have it.
PRIVATE = {"X-Robots-Tag": "noindex, nofollow", "Referrer-Policy": "no-referrer", "Cache-Control": "no-store"}
# The briefing's language unless another was pressed; then that one, on this phone.
LANGUAGE, LANGUAGE_COOKIE, KEPT_FOR = "in", "customer_language", 90 * 24 * 3600


def by_link(page: Page[P]) -> View[P]:
    """Gives the view the visit, with the branch's zone and the customer's language active.

    A form needs no token against other sites: what it may do follows from its address, which other sites do not know,
    and not from a cookie. With no-referrer browsers would not say either where it was sent from.
    """

    @csrf_exempt
    @login_not_required
    @wraps(page)
    def view(request: HttpRequest, token: str, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        try:
            visit = visit_by(token, now=timezone.now(), language=language_in(request))
        except Closed as why:
            return _private(_closed(request, why), why.tongues)
        with in_zone_of(visit.rental.branch), override(visit.tongues.code):
            response = _private(page(request, visit, *args, **kwargs), visit.tongues)
        return _with_language(request, response, visit)

    return cast("View[P]", view)


def language_in(request: HttpRequest) -> str:
    """Another language asked for with a press; empty for the one of the briefing."""
    asked = str(request.GET.get(LANGUAGE, "") or request.COOKIES.get(LANGUAGE_COOKIE, ""))
    return asked if asked in dict(settings.LANGUAGES) else ""


def _with_language(request: HttpRequest, response: HttpResponse, visit: Visit) -> HttpResponse:
    if LANGUAGE in request.GET:
        response.set_cookie(
            LANGUAGE_COOKIE, visit.tongues.code, max_age=KEPT_FOR, path=visit.path("page"), httponly=True,
            secure=settings.SESSION_COOKIE_SECURE, samesite="Lax",
        )  # fmt: skip
    return response


def shown(request: HttpRequest, template: str, visit: Visit, *, status: int = 200, **said: Any) -> HttpResponse:
    """A page of the customer's, with the languages it can be had in."""
    others = [(code, name) for code, name in settings.LANGUAGES if code != visit.tongues.code]
    return render(
        request, template, {"visit": visit, "rental": visit.rental, "languages": others, **said}, status=status
    )


def _closed(request: HttpRequest, why: Closed) -> HttpResponse:
    """Gone for a link that was one; nothing there for an address that never was."""
    said = {"why": why, "tag": why.tongues.tag if why.tongues else ""}
    with override(why.tongues.code if why.tongues else None):
        return render(request, "customer/closed.html", said, status=410 if why.tongues else 404)


def _private(response: HttpResponse, tongues: Tongues | None) -> HttpResponse:
    for name, value in PRIVATE.items():
        response.headers.setdefault(name, value)
    response.headers["Content-Language"] = tongues.code if tongues else response.headers.get("Content-Language", HOUSE)
    return response
