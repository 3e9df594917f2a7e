"""The caller's key makes sending again harmless: the same key and body get the same answer, another body a conflict."""

import hmac
from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from typing import Annotated, Any

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from ninja.params import functions
from pydantic import Field

from handover.api.models import ApiKey
from handover.api.problems import Refused
from handover.api.tokens import Caller
from shared.canonical import canonical

KEPT = timedelta(days=30)
PATTERN = r"^[!-~]{1,200}$"

KEY_HEADER: Any = functions.Header(
    ...,
    alias="Idempotency-Key", pattern=PATTERN,
    description="Made by the caller for this one act and kept for 30 days: 1 to 200 printable letters.",
)  # fmt: skip
RowKey = Annotated[str, Field(pattern=PATTERN, description="As Idempotency-Key, for this row.")]

Answer = Mapping[str, Any]


def once(caller: Caller, *, key: str, body: Mapping[str, Any], act: Callable[[], Answer]) -> tuple[Answer, bool]:
    """What was answered, and whether it was before. Acts in one transaction with keeping the key.

    An act that raises keeps no key: it can be put right and sent again under the same one. Raises Refused 409.
    """
    digests = _digest(caller, "key", key.encode()), _digest(caller, "body", canonical(dict(body)))
    try:
        with transaction.atomic():
            if earlier := _earlier(caller, *digests):
                return earlier.answer, True
            answer = act()
            ApiKey.objects.create(
                token=caller.token, key_digest=digests[0], body_digest=digests[1], answer=dict(answer),
                at=timezone.now(),
            )  # fmt: skip
            return answer, False
    except IntegrityError:
        earlier = _earlier(caller, *digests)  # of two at once the first one acted
        if earlier is None:
            raise Refused(409, "at-once", _("Something else was written at the same moment. Send it again.")) from None
        return earlier.answer, True


def _earlier(caller: Caller, key_digest: str, body_digest: str) -> ApiKey | None:
    row = ApiKey.objects.filter(token=caller.token, key_digest=key_digest).first()
    if row and row.body_digest != body_digest:
        raise Refused(
            409, "key-used-otherwise",
            _("This key already stands for something else that was sent. A new act needs a new key."),
        )  # fmt: skip
    return row


def _digest(caller: Caller, what: str, data: bytes) -> str:
    return hmac.digest(caller.secret.encode(), what.encode() + b"\0" + data, "sha256").hex()


def forget_old(*, now: datetime) -> int:
    """Keys after their time; how many went."""
    return ApiKey.objects.filter(at__lt=now - KEPT).delete()[0]
