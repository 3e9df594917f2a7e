"""A page or picture whose file was erased says so, wherever it is asked for, in place of an error."""

from collections.abc import Callable
from http import HTTPStatus

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.html import format_html

from handover.retention.gone import file_gone

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
        """Only for a kept file, which the exception names, and only when it was erased; else as ever."""
        if not isinstance(exception, FileNotFoundError) or not exception.filename:
            return None
        sentence = file_gone(str(exception.filename))
        if not sentence:
            return None
        if "text/html" in request.headers.get("Accept", ""):
            return render(request, "retention/gone.html", {"sentence": sentence}, status=HTTPStatus.GONE)
        # A browser shows a picture whatever the status; what asks for bytes sees that they are gone.
        headers = {"Cache-Control": "private, no-store"}
        picture = format_html(PICTURE, sentence)
        return HttpResponse(picture, content_type="image/svg+xml", status=HTTPStatus.GONE, headers=headers)
