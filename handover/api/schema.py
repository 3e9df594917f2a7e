"""The API and its description: what is the same for every operation is said here once, and documented for each."""

import re
from functools import cache
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from ninja import NinjaAPI
from ninja.errors import ValidationError
from ninja.operation import Operation

from handover.api.etags import with_etag
from handover.api.problems import MEDIA_TYPE, Problem
from handover.api.rendering import Renderer
from handover.api.scopes import Scope

PREFIX = "/api/v1"
GUIDE = """\
Bookings in; units, rentals, statements, records and settlement out; readings of instruments in; webhooks.

**Tokens.** An administrator makes one under Desk, API access: for some branches, for some scopes, until a day. It is
shown once and goes into `Authorization: Bearer lp_…`. What belongs to another branch is not there: 404.

**Sending again.** What writes takes an `Idempotency-Key`. The same key and body get the same answer, as often as they
are sent; the same key with another body is a conflict, 409. Keys are kept for 30 days.

**Versions.** Answers carry an `ETag`. With `If-None-Match` an unchanged row is 304; what changes a row wants it in
`If-Match`, and is 412 when somebody else was first.

**Pages.** Lists take `limit` up to 200 and a `cursor`; `next` and the `Link` header lead on. Rows come in the order
they were made, so that the last cursor later leads to what is new.

**Problems.** Every answer that is no success is `application/problem+json` (RFC 9457): `detail` is a sentence, `errors`
says where by JSON pointer.

**Limits.** A token may ask {most} times a minute; then 429 with `Retry-After`. A body has at most {bytes} bytes.

Amounts are decimal text in the branch's currency, times ISO 8601 with their offset. Customers are not named here.
"""

CONVERTER = re.compile(r"\{[a-z]+:")
ALWAYS = {
    401: "No token, or one that is unknown, expired or revoked.",
    403: "The token has not this scope, or no right to this.",
    429: "The token asked too often.",
    500: "Something broke here. Sent again under the same key, nothing is done twice.",
}
OF_A_ROW = {404: "Not there, or of a branch that the token is not for."}
OF_VALUES = {422: "What was sent does not fit, or cannot be."}
OF_A_BODY = {400: "The body is not JSON.", 413: "The body is too long.", 415: "The body is of another kind."}
OF_A_KEY = {409: "The key stands for something else that was sent."}
OF_A_VERSION = {412: "It was changed meanwhile.", 428: "If-Match is missing."}
CHANGES = {"PATCH", "DELETE"}


class Api(NinjaAPI):
    def create_temporal_response(self, request: HttpRequest) -> HttpResponse:
        """Made before anything of the request is read, so what no operation knows is refused here."""
        check_query(request)
        return super().create_temporal_response(request)

    def create_response(
        self, request: HttpRequest, data: Any, *, status: int | None = None,
        temporal_response: HttpResponse | None = None,
    ) -> HttpResponse:  # fmt: skip
        response = super().create_response(request, data, status=status, temporal_response=temporal_response)
        if request.method == "GET" and response.status_code == 200:
            return with_etag(request, response)
        return response

    def get_openapi_operation_id(self, operation: Operation) -> str:
        return operation.view_func.__name__


def new_api() -> Api:
    guide = GUIDE.format(most=settings.API_PER_MINUTE, bytes=settings.API_MAX_BYTES)
    return Api(
        title="Levelpeg", version="1", description=guide, openapi_url=None, docs_url=None, renderer=Renderer(),
        urls_namespace="levelpeg-api",
    )  # fmt: skip


@cache
def openapi() -> dict[str, Any]:
    """The whole description, OpenAPI 3.1, as a document."""
    from handover.api.main import api  # noqa: PLC0415 it is made of the routers, which this module serves

    schema: dict[str, Any] = dict(api.get_openapi_schema(path_prefix=PREFIX))
    scheme = {"type": "http", "scheme": "bearer", "description": "A token made under Desk, API access."}
    schema["components"]["securitySchemes"] = {"Token": scheme}
    schema["components"]["schemas"] |= _problem_schemas()
    schema["servers"] = [{"url": settings.PUBLIC_URL}]
    operations = operations_by_id()
    for path, methods in schema["paths"].items():
        for method, said in methods.items():
            _complete(said, path, method.upper(), operations[said["operationId"]])
    return schema


@cache
def _known_queries() -> dict[tuple[str, str], set[str]]:
    """By address and method: the names that an operation takes after the question mark."""
    return {
        (path, method.upper()): {each["name"] for each in said.get("parameters", ()) if each["in"] == "query"}
        for path, methods in openapi()["paths"].items()
        for method, said in methods.items()
    }


def check_query(request: HttpRequest) -> None:
    """Raises ValidationError for a name that is not known, or stands there twice: a filter misspelt filters nothing."""
    if not request.GET:
        return
    at = request.resolver_match
    route = CONVERTER.sub("{", f"/{at.route}".replace("<", "{").replace(">", "}")) if at else ""
    known = _known_queries().get((route, str(request.method)), set())
    wrong = [
        {
            "type": "query",
            "loc": ("query", name),
            "msg": _("This is not asked here.") if name not in known else _("Once."),
        }
        for name, values in request.GET.lists()
        if name not in known or len(values) > 1
    ]
    if wrong:
        raise ValidationError(wrong)


def operations_by_id() -> dict[str, Operation]:
    from handover.api.main import api  # noqa: PLC0415

    return {
        operation.operation_id or operation.view_func.__name__: operation
        for router in api._get_bound_routers()
        for view in router.path_operations.values()
        for operation in view.operations
    }


def scope_of(operation: Operation) -> Scope:
    return operation.auth_callbacks[0].scope  # type: ignore[attr-defined, no-any-return]


def _complete(said: dict[str, Any], path: str, method: str, operation: Operation) -> None:
    scope = scope_of(operation)
    said["security"] = [{"Token": []}]
    said["x-scope"] = scope.value
    said["summary"] = said["operationId"].replace("_", " ").capitalize()
    said["description"] = f"{said.get('description', '')}\n\nScope: `{scope.value}`.".strip()
    for status, words in _refusals(said, path, method).items():
        content = {MEDIA_TYPE: {"schema": {"$ref": "#/components/schemas/Problem"}}}
        said["responses"][status] = {"description": words, "content": content}
    said["responses"][429]["headers"] = {"Retry-After": _header("Seconds to wait.", "integer")}
    said["responses"][401]["headers"] = {"WWW-Authenticate": _header("Bearer.")}
    _say_headers(said, method)


def _refusals(said: dict[str, Any], path: str, method: str) -> dict[int, str]:
    found = ALWAYS | OF_VALUES
    if "{" in path or path.endswith(("/availability", "/export")):
        found |= OF_A_ROW
    if "requestBody" in said:
        found |= OF_A_BODY
    if any(each["name"] == "Idempotency-Key" for each in said.get("parameters", ())):
        found |= OF_A_KEY
    if method in CHANGES:
        found |= OF_A_VERSION
    return found


def _say_headers(said: dict[str, Any], method: str) -> None:
    if method in CHANGES:
        said["parameters"] = [*said.get("parameters", ()), _asked_header("If-Match", "The ETag it was read with.")]
    if method != "GET":
        return
    headers = {"ETag": _header("Names exactly this answer.")}
    if any(each["name"] == "cursor" for each in said.get("parameters", ())):
        headers["Link"] = _header('`rel="next"`: the next page, when there is one.')
    said["responses"][200]["headers"] = headers
    said["responses"][304] = {"description": "As the caller knows it.", "headers": {"ETag": headers["ETag"]}}
    said["parameters"] = [
        *said.get("parameters", ()), _asked_header("If-None-Match", "ETags that the caller has.", needed=False)
    ]  # fmt: skip


def _header(words: str, kind: str = "string") -> dict[str, Any]:
    return {"description": words, "schema": {"type": kind}}


def _asked_header(name: str, words: str, *, needed: bool = True) -> dict[str, Any]:
    return {"in": "header", "name": name, "required": needed, "description": words, "schema": {"type": "string"}}


def _problem_schemas() -> dict[str, Any]:
    schema = Problem.model_json_schema(ref_template="#/components/schemas/{model}", mode="serialization")
    return {**schema.pop("$defs"), "Problem": schema}
