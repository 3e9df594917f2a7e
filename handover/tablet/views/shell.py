"""The service worker, the manifest and the shell: no sign-in, no data, the same for everybody."""

import json

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from handover.tablet.shell import shell_assets, shell_version


@login_not_required
@never_cache
@require_safe
def service_worker(request: HttpRequest) -> HttpResponse:
    context = {"version": shell_version(), "assets": json.dumps(shell_assets(), indent=2)}
    response = render(request, "tablet/sw.js", context, content_type="text/javascript")
    response["Service-Worker-Allowed"] = "/"
    return response


@login_not_required
@require_safe
def manifest(request: HttpRequest) -> HttpResponse:
    return render(request, "tablet/manifest.webmanifest", content_type="application/manifest+json")


@login_not_required
@never_cache
@require_safe
def shell(request: HttpRequest) -> HttpResponse:
    return render(request, "tablet/shell.html", {"version": shell_version()})
