"""The token of a customer's link: its id and a signature under the server's key.

It is not stored and not guessable: 256 bits of HMAC over the link and its rental. Staff see the address again because
the server can write it anew; a copy of the database opens nothing.
"""

from base64 import urlsafe_b64decode, urlsafe_b64encode
from uuid import UUID

from django.core import signing
from django.utils.crypto import constant_time_compare

from handover.customer.models import CustomerLink
from shared.canonical import sha256_hex

SALT = "customer.link"
ID_LENGTH = 22
LONGEST = 120


def token_of(link: CustomerLink) -> str:
    return token_for(link.pk, link.rental_id)


def token_for(link_id: UUID, rental_id: UUID) -> str:
    """22 letters of the id, a point, 43 letters of the signature."""
    name = urlsafe_b64encode(link_id.bytes).decode().rstrip("=")
    return _signer(rental_id).sign(name)


def digest_of(token: str) -> str:
    return sha256_hex(token.encode())


def link_id_in(token: str) -> UUID | None:
    """Which link a token says it is of; None for what is no token."""
    name = token.partition(".")[0]
    if len(token) > LONGEST or len(name) != ID_LENGTH or not token.isascii():
        return None
    try:
        return UUID(bytes=urlsafe_b64decode(f"{name}=="))
    except ValueError:
        return None


def is_of(token: str, link: CustomerLink) -> bool:
    """Signed by this server for this link and rental, and the one whose digest was kept."""
    try:
        _signer(link.rental_id).unsign(token)
    except signing.BadSignature:
        return False
    return constant_time_compare(digest_of(token), link.digest)


def _signer(rental_id: UUID) -> signing.Signer:
    """Also reads what was signed with a key before this one (SECRET_KEY_FALLBACKS)."""
    return signing.Signer(sep=".", salt=f"{SALT}.{rental_id}")
