"""How addresses of the tablet answer: JSON and never a redirect, so that a client takes no other page for an answer."""

import json
from collections.abc import Callable
from functools import wraps
from http import HTTPStatus
from typing import Any, Concatenate, ParamSpec, cast

from django.db import OperationalError
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils.cache import add_never_cache_headers
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from handover.acting import CannotBe
from shared.access.requests import PersonRequest
from shared.files.away import StoreAway

P = ParamSpec("P")
View = Callable[Concatenate[PersonRequest, P], HttpResponse]
RETRY_AFTER_S = 2
SCRAPPED = gettext_noop("What came cannot be read. Nothing is lost: all is kept on the tablet.")


def api(view: View[P]) -> View[P]:
    """Marks a view for the 401 and 403 in JSON. Database or store busy: 503; what cannot be: 422 with its sentence."""

    @wraps(view)
    def answered(request: PersonRequest, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        try:
            response = view(request, *args, **kwargs)
        except (OperationalError, StoreAway):
            response = refused("busy", HTTPStatus.SERVICE_UNAVAILABLE)
            response["Retry-After"] = str(RETRY_AFTER_S)
        except CannotBe as problem:
            response = cannot(problem.sentence, problem.field)
        add_never_cache_headers(response)
        return response

    answered.speaks_json = True  # type: ignore[attr-defined]
    return cast(View[P], answered)


def cannot(sentence: str, field: str = "") -> HttpResponse:
    return refused("cannot", HTTPStatus.UNPROCESSABLE_ENTITY, sentence=sentence, field=field)


def refused(error: str, status: HTTPStatus, **said: object) -> HttpResponse:
    return JsonResponse({"error": error, **said}, status=status)


def sent_json(request: HttpRequest) -> dict[str, Any]:
    """The JSON object of the body. Raises CannotBe for anything else."""
    try:
        sent = json.loads(request.body)
    except (ValueError, RecursionError) as problem:
        raise CannotBe(_(SCRAPPED)) from problem
    if not isinstance(sent, dict):
        raise CannotBe(_(SCRAPPED))
    return sent
