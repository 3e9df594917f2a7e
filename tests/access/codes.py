"""What an app on a phone would show, worked out apart from the product: RFC 6238 over HMAC-SHA-1."""

import base64
import hashlib
import hmac
import time

STEP_S = 30


def code_at(secret: str, when: float, digits: int = 6) -> str:
    counter = int(when // STEP_S).to_bytes(8)
    digest = hmac.new(base64.b32decode(secret), counter, hashlib.sha1).digest()
    at = digest[-1] & 15
    return str((int.from_bytes(digest[at : at + 4]) & 0x7FFFFFFF) % 10**digits).zfill(digits)


def code_now(secret: str) -> str:
    return code_at(secret, time.time())
