"""Asked by a proxy, a container or a monitor, every few seconds and without a session."""

from http import HTTPStatus

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shared.running.health import ready


@login_not_required
@require_safe
@never_cache
def live(request: HttpRequest) -> HttpResponse:
    """This process answers: it need not be started anew."""
    return JsonResponse({"live": True})


@login_not_required
@require_safe
@never_cache
def is_ready(request: HttpRequest) -> HttpResponse:
    """200 when it can be sent work, else 503 and what of it is not so.

    That no worker takes tasks is said and decides nothing: without pages the records that wait would not come sooner.
    """
    found = ready()
    well = all(so for name, so in found.items() if name != "tasks")
    status = HTTPStatus.OK if well else HTTPStatus.SERVICE_UNAVAILABLE
    return JsonResponse(
        {"ready": well, **{name: "ok" if so else "not now" for name, so in found.items()}}, status=status
    )
