from collections.abc import Callable
from typing import Any

from django.conf import settings
from django.contrib.auth import logout
from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.contrib.auth.models import AnonymousUser
from django.contrib.auth.views import redirect_to_login
from django.contrib.sessions import middleware as sessions
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, resolve_url
from django.urls import reverse
from django.utils import timezone, translation
from django.utils.cache import patch_vary_headers
from django_htmx.http import HttpResponseClientRedirect

from shared.access.gate import access_for, asks_for_a_person, check_right
from shared.access.here import is_locked
from shared.access.models import Person
from shared.access.second_factor.policy import is_outstanding
from shared.access.sessions import is_over, note_sign_in
from shared.trouble import speaks_json

View = Callable[..., HttpResponseBase]


class SessionMiddleware(sessions.SessionMiddleware):
    """Signing out alone takes the cookie back.

    When the person of a shared tablet changes, something it sent a moment before may still be on its way under the
    session that ends. Answered late, its "this session is over" would take away the cookie of the new one. A cookie
    of an ended session that stays opens nothing.
    """

    def process_response(self, request: HttpRequest, response: HttpResponse) -> HttpResponse:
        response = super().process_response(request, response)
        note_sign_in(request)
        cookie = response.cookies.get(settings.SESSION_COOKIE_NAME)
        at = request.resolver_match
        if cookie and not cookie.value and not (at and at.url_name == "sign-out"):
            del response.cookies[settings.SESSION_COOKIE_NAME]
        return response


class SecondFactorMiddleware:
    """Until the second factor is given nobody is signed in: not for a page, a tablet's script or a public address.

    Held to on every request, so that it counts for whoever was signed in before a role or the setting changed, and
    however the session was made. `request.pending` is the person whose password, or PIN, was right.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.user.is_authenticated and is_over(request):
            logout(request)
        person, pending = request.user, None
        if isinstance(person, Person) and is_outstanding(request.session, person, now=timezone.now()):
            pending, request.user = person, AnonymousUser()
        request.pending = pending  # type: ignore[attr-defined]
        return self.get_response(request)


class HeadersMiddleware:
    """What a browser may do with an answer. Only the camera, and only for this site: photos in the yard need it.

    A file that somebody sent once is looked at or kept, and does nothing else: opened by its own address, it stands in
    a sandbox of its own, whatever it turns out to be.
    """

    PERMISSIONS = "camera=(self), geolocation=(), microphone=(), payment=(), usb=(), display-capture=(), midi=()"
    OF_A_FILE = "default-src 'none'; sandbox; frame-ancestors 'none'"

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        response.headers["Permissions-Policy"] = self.PERMISSIONS
        response.headers.setdefault("Cross-Origin-Resource-Policy", "same-origin")
        if is_file(response):
            response.headers["Content-Security-Policy"] = self.OF_A_FILE
        return response


def is_file(response: HttpResponse) -> bool:
    """A picture, or what is to be kept; a PDF that is shown runs in the browser's viewer, which a sandbox stops."""
    kind, way = (response.headers.get(name, "") for name in ("Content-Type", "Content-Disposition"))
    return kind.startswith("image/") or way.startswith("attachment")


class LanguageMiddleware:
    """Pages in the language of who is signed in; before that, in the one that the browser asks for."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        person = getattr(request, "pending", None) or request.user
        language = getattr(person, "language", None) or translation.get_language_from_request(request)
        with translation.override(language):
            response = self.get_response(request)
        response.headers.setdefault("Content-Language", language)
        patch_vary_headers(response, ["Accept-Language"])
        return response


class SignInMiddleware(LoginRequiredMiddleware):
    """Where a part of a page is asked for and the session is over, the whole page goes to sign in, and then back.

    A redirect would be followed unseen, and the sign-in page would stand in a row of a station. What a tablet sends
    by itself is told so in JSON, and keeps what it has.
    """

    def process_view(
        self, request: HttpRequest, view_func: View, view_args: tuple[Any, ...], view_kwargs: dict[str, Any]
    ) -> HttpResponseBase | None:
        """Through the table first. A locked tablet asks on every page who is there; what it sends goes on as before."""
        access = access_for(request)
        check_right(access, request)
        if asks_for_a_person(access, request) and not request.user.is_authenticated:
            return self.handle_no_permission(request, view_func)
        if not getattr(view_func, "login_required", True) or speaks_json(view_func) or not is_locked(request):
            return super().process_view(request, view_func, view_args, view_kwargs)
        htmx = getattr(request, "htmx", None)
        here = htmx.current_url_abs_path if htmx else request.get_full_path() if request.method == "GET" else ""
        address = reverse("people-here", query={"next": here} if here else None)
        return HttpResponseClientRedirect(address) if htmx else redirect(address)

    def handle_no_permission(self, request: HttpRequest, view_func: View) -> HttpResponseBase:  # type: ignore[override]
        if speaks_json(view_func):
            return JsonResponse({"error": "sign-in"}, status=401)
        htmx = getattr(request, "htmx", None)
        door = door_of_second_factor(request) or self.get_login_url(view_func)
        if not htmx:
            return redirect_to_login(request.get_full_path(), resolve_url(door))
        address = redirect_to_login(htmx.current_url_abs_path or "/", resolve_url(door))
        return HttpResponseClientRedirect(address.url)


def door_of_second_factor(request: HttpRequest) -> str:
    """The page that comes next for whoever gave the password; empty where nobody did."""
    person: Person | None = getattr(request, "pending", None)
    if person is None:
        return ""
    return "ask-second-factor" if person.has_second_factor else "second-factor"
