"""What stands before every operation: how long a body may be and of what kind; what is refused is a problem."""

from collections.abc import Callable
from functools import wraps

from django.conf import settings
from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, HttpResponse, HttpResponseNotAllowed, UnreadablePostError
from django.http.response import HttpResponseBase
from django.utils.translation import gettext as _

from handover.api.problems import not_there, problem, too_long

View = Callable[..., HttpResponseBase]
SENDS = {"POST", "PUT", "PATCH"}


def entrance(view: View) -> View:
    """The view of a path of the API. It needs no sign-in and no form's token: a bearer token is no cookie."""

    @wraps(view)
    def entered(request: HttpRequest, *args: object, **kwargs: object) -> HttpResponseBase:
        response = _refused(request) or view(request, *args, **kwargs)
        if isinstance(response, HttpResponseNotAllowed):
            return _not_allowed(request, response)
        return response

    entered.csrf_exempt = True  # type: ignore[attr-defined]
    entered.login_required = False  # type: ignore[attr-defined]
    return entered


def _refused(request: HttpRequest) -> HttpResponse | None:
    if request.method not in SENDS:
        return None
    try:
        length = len(request.body) if not _says_too_long(request) else settings.API_MAX_BYTES + 1
    except RequestDataTooBig:
        length = settings.API_MAX_BYTES + 1
    except UnreadablePostError:
        return problem(400, _("The body broke off on the way."))
    if length > settings.API_MAX_BYTES:
        return too_long(settings.API_MAX_BYTES)
    if length and request.content_type != "application/json":
        return problem(415, _("A body is application/json here."))
    return None


def _says_too_long(request: HttpRequest) -> bool:
    said = request.headers.get("Content-Length", "")
    return said.isdigit() and int(said) > settings.API_MAX_BYTES


def _not_allowed(request: HttpRequest, response: HttpResponse) -> HttpResponse:
    refused = problem(405, _("%(method)s is not answered here.") % {"method": str(request.method)[:20]})
    refused["Allow"] = response["Allow"]
    return refused


@entrance
def nothing_here(request: HttpRequest, path: str = "") -> HttpResponse:
    """For every address under the API's that is none."""
    return not_there()
