"""Figures for who looks after the server, behind a token of their own."""

from http import HTTPStatus

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.utils.crypto import constant_time_compare
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe
from prometheus_client import CONTENT_TYPE_LATEST

from handover.running.metrics import exposition


@login_not_required
@require_safe
@never_cache
def metrics(request: HttpRequest) -> HttpResponse:
    """For nobody while no token is set."""
    token, said = settings.METRICS_TOKEN, request.headers.get("Authorization", "")
    if not token or not constant_time_compare(said, f"Bearer {token}"):
        return HttpResponse("Bearer LEVELPEG_METRICS_TOKEN is asked for here.\n", "text/plain", HTTPStatus.FORBIDDEN)
    return HttpResponse(exposition(), content_type=CONTENT_TYPE_LATEST)
