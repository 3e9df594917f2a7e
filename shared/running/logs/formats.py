"""Lines as JSON for a program that collects them, or as text for a person at a terminal."""

import logging
from datetime import UTC, datetime
from typing import Any

from pythonjsonlogger.json import JsonFormatter

from shared.running.logs.context import REQUEST_ID
from shared.running.logs.traces import Raised, kind_of, trace_of

FIELDS = ("method", "url", "status", "ms")


class Impersonal(logging.Filter):
    """Every line gets its request; a line of Django's about a request says which page, not which address."""

    def filter(self, record: logging.LogRecord) -> bool:
        record.request_id = getattr(record, "request_id", "") or REQUEST_ID.get()
        if request := vars(record).pop("request", None):
            status = vars(record).get("status_code", "")
            url, method = url_of(request), getattr(request, "method", "")
            vars(record).update(url=url, method=method, status=status)
            said = (status, method, url or "no page", kind_of(record.exc_info[1]) if record.exc_info else "")
            record.msg, record.args = " ".join(str(part) for part in said if part), ()
        if record.name == "django.security.DisallowedHost":
            record.msg, record.args = "A request named a host that is not in LEVELPEG_HOSTS.", ()
        return True


def url_of(request: Any) -> str:
    """The name of the page, as reverse() knows it; empty for an address that is none."""
    match = getattr(request, "resolver_match", None)
    return str(match.view_name) if match and match.view_name else ""


class AsJson(JsonFormatter):
    """time, level, logger, message, request_id; method, url, status, ms of a request; trace of a fault."""

    def add_fields(self, log_data: dict[str, Any], record: logging.LogRecord, message_dict: dict[str, Any]) -> None:
        log_data["time"] = datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds")
        log_data["level"], log_data["logger"] = record.levelname.lower(), record.name
        log_data["message"] = record.getMessage()
        log_data["request_id"] = getattr(record, "request_id", "")
        log_data |= {name: getattr(record, name) for name in FIELDS if hasattr(record, name)}
        if record.exc_info:
            log_data["trace"] = trace_of(record.exc_info).splitlines()


class AsText(logging.Formatter):
    """For a terminal. On a server a fault is told without its words there too."""

    def __init__(self, *, impersonal: bool = False) -> None:
        super().__init__("%(levelname)s %(name)s: %(message)s")
        self.impersonal = impersonal

    def formatException(self, ei: Raised) -> str:  # noqa: N802 its name in logging
        return trace_of(ei) if self.impersonal else super().formatException(ei)
