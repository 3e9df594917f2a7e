"""Around every request: its id, how long it took, one line and one count of it; and a store that is away."""

import errno
import logging
import time
from collections.abc import Callable
from http import HTTPStatus

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.http.response import HttpResponseBase
from django.template.loader import render_to_string

from shared.files.away import StoreAway
from shared.running.counting import count_request
from shared.running.logs.context import HEADER, REQUEST_ID, request_id_from
from shared.running.logs.formats import url_of
from shared.trouble import speaks_json

LOG = logging.getLogger("levelpeg.request")
RETRY_AFTER_S = 10


class RequestMiddleware:
    """The outermost, so that its time is the whole time and its id is there for everything within."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        began = time.perf_counter()
        request_id = request_id_from(request.headers.get(HEADER, ""))
        token = REQUEST_ID.set(request_id)
        try:
            response = self.get_response(request)
            response.headers[HEADER] = request_id
            _told(request, response, time.perf_counter() - began)
            return response
        finally:
            REQUEST_ID.reset(token)

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        """Anything but a store that is away is an error as ever."""
        if not isinstance(exception, StoreAway):
            return None
        LOG.error("The store of photos and records is away.", extra={"url": url_of(request)})
        match = request.resolver_match
        if match and speaks_json(match.func):
            response: HttpResponse = JsonResponse({"error": "busy", "sentence": exception.sentence})
        else:
            response = HttpResponse(render_to_string("503.html", _said_of(exception)))
        response.status_code = HTTPStatus.SERVICE_UNAVAILABLE
        response.headers["Retry-After"] = str(RETRY_AFTER_S)
        vars(response)["_has_been_logged"] = True  # as Django notes that its own line would say it again
        return response


def _said_of(away: StoreAway) -> dict[str, str]:
    """A full disk has words of its own: who runs the server can make room."""
    said = {"reference": REQUEST_ID.get()}
    if getattr(away.__cause__, "errno", None) in {errno.ENOSPC, errno.EDQUOT}:
        return said | {"away": "disk"}
    return said | {"sentence": away.sentence}


def _told(request: HttpRequest, response: HttpResponseBase, seconds: float) -> None:
    """Static files are answered before any page is looked for, and are no news."""
    url = url_of(request)
    if not url and response.status_code < HTTPStatus.BAD_REQUEST:
        return
    method = request.method or ""
    count_request(url=url, method=method, status=response.status_code, seconds=seconds)
    LOG.info(
        "%s %s %s", response.status_code, method, url or "no page",
        extra={"method": method, "url": url, "status": response.status_code, "ms": round(seconds * 1000, 1)},
    )  # fmt: skip
