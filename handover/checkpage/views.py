"""The public check page: a file, or a number with its code, and what there is to say of it. Open to anyone."""

from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods, require_safe

from handover.checkpage.commands import commands, root_certificates
from handover.checkpage.queries import Told, record_of, told_of, told_of_file
from handover.checkpage.throttle import Kind, give_back, may_try
from handover.photo.uploading import TOO_LARGE, is_too_long, too_large
from handover.zone import in_zone_of

FILE = "record"
HEADERS = {"X-Robots-Tag": "noindex, nofollow", "Referrer-Policy": "no-referrer", "Cache-Control": "no-store"}


# Nobody is signed in and nothing is changed by it, so there is nothing that another site could do in somebody's name.
@csrf_exempt
@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def check(request: HttpRequest) -> HttpResponse:
    """Empty, or with what was found of what was sent."""
    if request.method != "POST":
        return _page(request)
    if is_too_long(request, files=1):
        return _page(request, status=413, problem=too_large({}).sentence, part="file")
    sent = request.FILES.getlist(FILE)  # reading them finds out what is too large
    if request.META.get(TOO_LARGE) == FILE:
        return _page(request, status=422, problem=too_large({}).sentence, part="file")
    if sent:
        return _file(request, sent[0])
    return _pair(request, str(request.POST.get("number", "")), str(request.POST.get("code", "")))


@login_not_required
@require_safe
def lookup(request: HttpRequest, number: str, code: str) -> HttpResponse:
    """Where the code that is printed on a Record leads."""
    return _pair(request, number, code)


@login_not_required
@require_safe
def root(request: HttpRequest) -> HttpResponse:
    """The operator's root certificate, to check a seal against with other tools."""
    headers = {"Content-Disposition": 'attachment; filename="ca.pem"'}
    return HttpResponse(root_certificates(), content_type="application/x-pem-file", headers=headers)


def _file(request: HttpRequest, sent: "UploadedFile[Any]") -> HttpResponse:
    if not may_try(request, Kind.FILE):
        return _wait(request, "file")
    return _found(request, told_of_file(sent.read()))


def _pair(request: HttpRequest, number: str, code: str) -> HttpResponse:
    """A wrong code is answered as an unknown number is."""
    if not number.strip() and not code.strip():
        return _page(request, status=422, problem=_("Choose a file, or type number and code."), part="pair")
    if not (may_try(request, Kind.LOOK) and may_try(request, Kind.PAIR)):
        return _wait(request, "pair")
    record = record_of(number, code) if "\0" not in number + code else None
    if record is None:
        sentence = _("No Record has this number with this code. Both stand on its first page, at the QR code.")
        return _page(request, status=404, problem=sentence, part="pair", typed={"number": number, "code": code})
    give_back(request, Kind.PAIR)
    return _found(request, told_of(record))


def _found(request: HttpRequest, told: Told) -> HttpResponse:
    if told.record is None:
        return _page(request, told=told)
    with in_zone_of(told.record.rental.branch):
        return _page(request, told=told)


def _wait(request: HttpRequest, part: str) -> HttpResponse:
    sentence = _("Many tries came from here in the last hour. Wait an hour, or check the file with the commands below.")
    response = _page(request, status=429, problem=sentence, part=part)
    response.headers["Retry-After"] = "3600"
    return response


def _page(request: HttpRequest, *, status: int = 200, **said: Any) -> HttpResponse:
    response = render(request, "check/check.html", {"commands": commands(), "told": None, **said}, status=status)
    for name, value in HEADERS.items():
        response.headers[name] = value
    return response
