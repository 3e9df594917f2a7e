"""What went wrong, as problem details (RFC 9457): one shape for every answer that is no success."""

import json
import logging
from collections.abc import Iterable, Mapping
from http import HTTPStatus
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from ninja import NinjaAPI, Schema
from ninja.errors import AuthenticationError, HttpError, ValidationError
from pydantic import Field

from handover.acting import CannotBe
from handover.api.limits import TooOften
from shared.access.scope import NotAllowed

log = logging.getLogger("levelpeg.api")
MEDIA_TYPE = "application/problem+json"
TYPES = "urn:levelpeg:problem:"


class Part(Schema):
    """One thing that is wrong: where in what was sent, and why."""

    pointer: str = Field(description="JSON pointer (RFC 6901) into the body; empty for the whole of it.")
    parameter: str = Field("", description="Name of the query, path or header parameter, when it is not the body.")
    detail: str


class Problem(Schema):
    type: str = Field(description=f"`{TYPES}` and a word for the kind of problem.")
    title: str
    status: int
    detail: str = Field(description="A sentence: what cannot be, what can, what was kept.")
    errors: list[Part] = []


class Refused(HttpError):
    """`kind` names the problem type; `pointer` the part of the body it is about."""

    def __init__(self, status: int, kind: str, detail: str, pointer: str | None = None) -> None:
        super().__init__(status, detail)
        self.kind, self.pointer = kind, pointer


KINDS = {
    400: "not-readable", 401: "no-token", 403: "not-allowed", 404: "not-there", 405: "no-such-method",
    409: "key-used-otherwise", 412: "changed-meanwhile", 413: "too-long", 415: "not-json", 422: "cannot-be",
    428: "say-which-version", 429: "too-often", 500: "broken",
}  # fmt: skip

# Where the actions name a field otherwise than the body does.
POINTERS = {"customer_name": "/customer/name", "email": "/customer/email", "deposit_held": "/deposit"}


def problem(status: int, detail: str, *, kind: str = "", errors: Iterable[Mapping[str, str]] = ()) -> HttpResponse:
    body: dict[str, Any] = {
        "type": TYPES + (kind or KINDS.get(status, "other")),
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": detail,
        "errors": [{"pointer": "", "parameter": "", **each} for each in errors],
    }
    response = HttpResponse(json.dumps(body), status=status, content_type=MEDIA_TYPE)
    response["Cache-Control"] = "no-store"
    if status == HTTPStatus.UNAUTHORIZED:
        response["WWW-Authenticate"] = 'Bearer realm="levelpeg"'
    return response


def handled(api: NinjaAPI) -> None:
    """From now on every error of an operation is answered as a problem."""
    answers: dict[type[Exception], Any] = {
        Exception: _broken, Http404: _not_there, NotAllowed: _not_allowed, CannotBe: _cannot_be, HttpError: _http,
        ValidationError: _not_valid,
    }  # fmt: skip
    for kind, answer in answers.items():
        api.add_exception_handler(kind, answer)


def not_there() -> HttpResponse:
    return problem(404, _("There is nothing under this address for this token."))


def too_long(most: int) -> HttpResponse:
    return problem(413, _("More than %(most)s bytes are not taken at once. Send less.") % {"most": most})


def _broken(request: HttpRequest, fault: Exception) -> HttpResponse:
    """The log names the fault; the caller learns that it is ours."""
    log.error("An operation of the API broke", exc_info=fault)
    return problem(500, _("Something broke here. Sent again under the same key, nothing is done twice."))


def _not_there(_request: HttpRequest, _fault: Http404) -> HttpResponse:
    return not_there()


def _not_allowed(_request: HttpRequest, fault: NotAllowed) -> HttpResponse:
    return problem(403, str(fault))


def _cannot_be(_request: HttpRequest, fault: CannotBe) -> HttpResponse:
    return problem(422, fault.sentence, errors=[part_of(fault)])


def part_of(fault: CannotBe) -> dict[str, str]:
    pointer = POINTERS.get(fault.field, f"/{fault.field}" if fault.field else "")
    return {"pointer": pointer, "detail": fault.sentence}


def _http(_request: HttpRequest, fault: HttpError) -> HttpResponse:
    if isinstance(fault, AuthenticationError) and fault.status_code == HTTPStatus.UNAUTHORIZED:
        return problem(401, _("Show a token that is valid: Authorization: Bearer lp_…. It may be expired or revoked."))
    if isinstance(fault, Refused):
        errors = [] if fault.pointer is None else [{"pointer": fault.pointer, "detail": fault.message}]
        return problem(fault.status_code, fault.message, kind=fault.kind, errors=errors)
    if fault.status_code == HTTPStatus.BAD_REQUEST:
        return problem(400, _("The body is not JSON in UTF-8."))
    response = problem(fault.status_code, fault.message)
    if isinstance(fault, TooOften):
        response["Retry-After"] = str(fault.wait)
    return response


def _not_valid(_request: HttpRequest, fault: ValidationError) -> HttpResponse:
    errors = [_part(error) for error in fault.errors[:50]]
    return problem(422, _("What was sent does not fit: errors says where."), errors=errors)


def _part(error: Mapping[str, Any]) -> dict[str, str]:
    """Ninja's place is (source, name of the argument, path…); a body's path follows its argument."""
    source, *path = [str(step) for step in error["loc"]]
    if source == "body":
        pointer = "".join(f"/{step.replace('~', '~0').replace('/', '~1')}" for step in path[1:])
        return {"pointer": pointer, "detail": error["msg"]}
    return {"parameter": path[-1] if path else source, "detail": error["msg"]}
