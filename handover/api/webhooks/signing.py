"""The signature of what is sent: HMAC-SHA256 with the webhook's secret over the time, a point and the body.

    Levelpeg-Signature: at=1786874400,sha256=5f2b…

Who is told computes it again over `at`, a point and the bytes received, compares in constant time, and takes nothing
whose `at` is more than five minutes away from its own clock: then what was overheard cannot be sent again.
"""

import hmac
from base64 import urlsafe_b64encode
from datetime import datetime
from uuid import UUID

from django.conf import settings
from django.utils.crypto import constant_time_compare, salted_hmac

from shared.canonical import sha256_hex

HEADER = "Levelpeg-Signature"
SALT = "levelpeg.webhook"


def secret_for(webhook_id: UUID, key: str | bytes | None = None) -> str:
    """By the server's key: a copy of the database signs nothing."""
    made = salted_hmac(SALT, str(webhook_id), secret=key or settings.SECRET_KEY, algorithm="sha256")
    return f"lpw_{urlsafe_b64encode(made.digest()).decode().rstrip('=')}"


def secret_kept(webhook_id: UUID, digest: str) -> str | None:
    """The secret that was given out, also under a key before this one; None when its key is gone."""
    for key in (settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS):
        secret = secret_for(webhook_id, key)
        if constant_time_compare(sha256_hex(secret.encode()), digest):
            return secret
    return None


def signature(secret: str, body: bytes, *, at: datetime) -> str:
    stamp = str(int(at.timestamp()))
    return f"at={stamp},sha256={hmac.digest(secret.encode(), stamp.encode() + b'.' + body, 'sha256').hex()}"
