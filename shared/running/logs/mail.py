"""A page that broke, by e-mail to who looks after the server: which page, where in the program, nothing of anybody."""

import logging
import time
from datetime import UTC, datetime
from typing import Any

from django.core.mail import mail_admins
from django.utils.log import AdminEmailHandler

from shared.running.logs.traces import kind_of, trace_of

AT_MOST_EVERY_S = 300


class ErrorMail(AdminEmailHandler):
    """Django's handler attaches the request with its headers, forms and settings; this one writes a page of its own."""

    def __init__(self) -> None:
        super().__init__()
        self.told: dict[str, float] = {}

    def emit(self, record: logging.LogRecord) -> None:
        """The same fault is told every five minutes at most by one process: a broken page breaks for everybody."""
        subject, now = _subject(record), time.monotonic()
        if now - self.told.get(subject, -AT_MOST_EVERY_S) < AT_MOST_EVERY_S:
            return
        self.told[subject] = now
        try:
            mail_admins(subject, _body(record), fail_silently=False)
        except Exception:
            self.handleError(record)


def _subject(record: logging.LogRecord) -> str:
    kind = kind_of(record.exc_info[1]) if record.exc_info else record.levelname
    return f"{kind} at {getattr(record, 'url', '') or record.name}"


def _body(record: logging.LogRecord) -> str:
    said: dict[str, Any] = {
        "Reference": getattr(record, "request_id", ""),
        "When": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="seconds"),
        "Page": getattr(record, "url", ""),
        "Method": getattr(record, "method", ""),
        "Status": getattr(record, "status", ""),
        "Logger": record.name,
    }
    head = "".join(f"{name}: {value}\n" for name, value in said.items() if value != "")
    trace = trace_of(record.exc_info) if record.exc_info else ""
    return f"{head}\n{record.getMessage() if not record.exc_info else trace}\n"
