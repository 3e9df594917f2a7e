"""Which request a line belongs to, wherever in the program it is written."""

import re
from contextvars import ContextVar
from uuid import uuid4

REQUEST_ID: ContextVar[str] = ContextVar("request_id", default="")
WELL_FORMED = re.compile(r"[A-Za-z0-9-]{8,64}")
HEADER = "X-Request-ID"


def request_id_from(said: str) -> str:
    """What a proxy in front said when it can be one, else a new one."""
    return said if WELL_FORMED.fullmatch(said) else uuid4().hex
