"""Which version of a row a caller knows: a digest of exactly the bytes that are answered."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse, HttpResponseNotModified
from django.utils.http import parse_etags
from django.utils.translation import gettext as _

from handover.api.problems import Refused
from shared.canonical import sha256_hex


def etag_of(body: bytes) -> str:
    return f'"{sha256_hex(body)[:32]}"'


def with_etag(request: HttpRequest, response: HttpResponse) -> HttpResponse:
    """The answer with its ETag, or 304 when the caller has it already."""
    etag = etag_of(response.content)
    if _names(request.headers.get("If-None-Match", ""), etag):
        response = HttpResponseNotModified()
    response["ETag"] = etag
    response["Cache-Control"] = "private, no-cache"
    return response


def check_if_match(request: HttpRequest, body: Callable[[], bytes]) -> None:
    """`body` renders the row as it is now. Raises Refused 428 without If-Match, 412 when it names another version."""
    wanted = request.headers.get("If-Match", "")
    if not wanted:
        raise Refused(
            428, "say-which-version", _("Say in If-Match which version is changed: the ETag it was read with.")
        )
    if not _names(wanted, etag_of(body())):
        raise Refused(412, "changed-meanwhile", _("It was changed meanwhile. Read it again, then change it."))


def _names(header: str, etag: str) -> bool:
    named = [each.removeprefix("W/") for each in parse_etags(header)]
    return "*" in named or etag in named
