"""The bytes of an answer: UTF-8, as they are digested for an ETag."""

import json
from typing import Any

from django.http import HttpRequest
from ninja import Schema
from ninja.renderers import BaseRenderer
from ninja.responses import NinjaJSONEncoder


class Renderer(BaseRenderer):
    media_type = "application/json"

    def render(self, request: HttpRequest | None, data: Any, *, response_status: int = 200) -> bytes:
        return json.dumps(data, cls=NinjaJSONEncoder, ensure_ascii=False, separators=(",", ":")).encode()


def rendered(answer: Schema) -> bytes:
    """As an operation that answers with it would send it."""
    return Renderer().render(None, answer.model_dump())
