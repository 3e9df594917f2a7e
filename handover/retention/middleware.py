"""A page or picture whose file was erased, or is not in the store as it was kept, says so in place of an error."""

import logging
from collections.abc import Callable
from http import HTTPStatus

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.html import format_html
from django.utils.translation import gettext as _

from handover.retention.gone import file_gone
from shared.files.store import NAME as KEPT
from shared.files.store import Altered

LOG = logging.getLogger(__name__)

PICTURE = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 300" role="img" aria-label="{0}">'
    '<rect width="400" height="300" fill="#ffffff"/><rect x="1" y="1" width="398" height="298" fill="none" '
    'stroke="#1a1724" stroke-width="2" stroke-dasharray="6 6"/><text x="200" y="156" text-anchor="middle" '
    'font-family="sans-serif" font-size="17" fill="#1a1724">{0}</text></svg>'
)


class ErasedFileMiddleware:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        """Only for a kept file; anything else is an error as ever."""
        sentence, status = _said_of(exception)
        if not sentence:
            return None
        if status != HTTPStatus.GONE:
            LOG.error("%s", exception)  # whoever looks after the server has to know
        if "text/html" in request.headers.get("Accept", ""):
            said = {"sentence": sentence, "is_erased": status == HTTPStatus.GONE}
            return render(request, "retention/gone.html", said, status=status)
        # A browser shows a picture whatever the status; what asks for bytes sees that they are gone.
        headers = {"Cache-Control": "private, no-store"}
        picture = format_html(PICTURE, sentence)
        return HttpResponse(picture, content_type="image/svg+xml", status=status, headers=headers)


def _said_of(exception: Exception) -> tuple[str, HTTPStatus]:
    """Empty for what is about no kept file."""
    if isinstance(exception, Altered):
        return _("This file is not as it was kept, so it is not shown."), HTTPStatus.NOT_FOUND
    if not isinstance(exception, FileNotFoundError) or not KEPT.fullmatch(str(exception.filename)):
        return "", HTTPStatus.OK
    if erased := file_gone(str(exception.filename)):
        return erased, HTTPStatus.GONE
    return _("This file is missing in the store."), HTTPStatus.NOT_FOUND
