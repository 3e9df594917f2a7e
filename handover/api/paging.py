"""Lists in pages. A cursor is the id of the last row that was seen, so that rows added meanwhile move none."""

from base64 import urlsafe_b64decode, urlsafe_b64encode
from collections.abc import Callable
from typing import Annotated, Any, Generic, TypeVar
from urllib.parse import urlencode
from uuid import UUID

from django.db.models import Model, QuerySet
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from ninja import Schema
from pydantic import Field

from handover.api.problems import Refused

T = TypeVar("T")
M = TypeVar("M", bound=Model)
MOST = 200
CURSOR_LENGTH = 22

Cursor = Annotated[
    str, Field(pattern=r"^([A-Za-z0-9_-]{22})?$", description="`next` of the page before; empty for the first page.")
]
Limit = Annotated[int, Field(ge=1, le=MOST, description="At most so many rows.")]


class Paged(Schema):
    """What every list takes."""

    cursor: Cursor = ""
    limit: Limit = 50


class Page(Schema, Generic[T]):
    items: list[T]
    next: str | None = Field(description="The cursor of the next page; null on the last one.")


def paged(
    request: HttpRequest, response: HttpResponse, rows: QuerySet[M], asked: Paged, shown: Callable[[M], T]
) -> dict[str, Any]:  # fmt: skip
    """The page as a document; its `Link` header leads to the next one. Rows come in the order they were made."""
    found = rows.order_by("pk")
    if asked.cursor:
        found = found.filter(pk__gt=_read(asked.cursor))
    page = list(found[: asked.limit + 1])
    more, page = len(page) > asked.limit, page[: asked.limit]
    following = _written(page[-1].pk) if more else None
    if following:
        query = {**request.GET.dict(), "cursor": following}
        response["Link"] = f'<{request.build_absolute_uri(request.path)}?{urlencode(query)}>; rel="next"'
    return {"items": [shown(row) for row in page], "next": following}


def _written(pk: UUID) -> str:
    return urlsafe_b64encode(pk.bytes).decode().rstrip("=")


def _read(cursor: str) -> UUID:
    try:
        return UUID(bytes=urlsafe_b64decode(f"{cursor}=="))
    except ValueError:
        raise Refused(422, "cannot-be", _("This is no cursor that a page gave.")) from None
