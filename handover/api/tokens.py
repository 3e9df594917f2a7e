"""The secret of a token, and who shows it. The text is lp_<id>_<secret>: 22 and 43 letters of base64url."""

import secrets
from base64 import urlsafe_b64decode, urlsafe_b64encode
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.http import HttpRequest
from django.utils import timezone
from django.utils.crypto import constant_time_compare
from django.utils.translation import gettext as _
from ninja.errors import AuthorizationError
from ninja.security import HttpBearer

from handover.api.limits import counted
from handover.api.models import ApiToken, ServicePerson
from handover.api.scopes import Scope
from shared.canonical import sha256_hex

START = "lp"
ID_LENGTH, SECRET_LENGTH = 22, 43


@dataclass(frozen=True, slots=True)
class Caller:
    """Who asks. `secret` is what they showed; digests of what they send are keyed with it."""

    token: ApiToken
    person: ServicePerson
    secret: str


class TokenRequest(HttpRequest):
    """Scoped lets no other reach an operation."""

    auth: Caller


def new_secret(token_id: UUID) -> str:
    name = urlsafe_b64encode(token_id.bytes).decode().rstrip("=")
    return f"{START}_{name}_{secrets.token_urlsafe(32)}"


def digest_of(shown: str) -> str:
    return sha256_hex(shown.encode())


def caller_of(shown: str, *, now: datetime) -> Caller | None:
    """None for what is no token, an unknown one, an expired or a revoked one."""
    token_id = _id_in(shown)
    if token_id is None:
        return None
    token = ApiToken.objects.select_related("service").filter(pk=token_id).first()
    if token is None or not constant_time_compare(digest_of(shown), token.secret_sha256):
        return None
    if token.revoked_at is not None or token.expires_at <= now:
        return None
    return Caller(token, acting(token), shown)


def acting(token: ApiToken) -> ServicePerson:
    """The person of a token, with what its scopes let it do."""
    person = token.service
    person.scopes = token.granted
    return person


def _id_in(shown: str) -> UUID | None:
    if len(shown) != len(START) + ID_LENGTH + SECRET_LENGTH + 2 or not shown.isascii():
        return None
    if not shown.startswith(f"{START}_") or shown[len(START) + 1 + ID_LENGTH] != "_":
        return None
    try:
        return UUID(bytes=urlsafe_b64decode(f"{shown[3 : 3 + ID_LENGTH]}=="))
    except ValueError:
        return None


class Scoped(HttpBearer):
    """Who shows a token of this scope, and has not asked too often."""

    openapi_description = "A token made under Desk, API access: `Authorization: Bearer lp_…`."

    def __init__(self, scope: Scope) -> None:
        super().__init__()
        self.scope = scope

    def authenticate(self, request: HttpRequest, token: str) -> Caller | None:
        now = timezone.now()
        caller = caller_of(token, now=now)
        if caller is None:
            return None
        counted(caller.token, now=now)
        if self.scope not in caller.person.scopes:
            raise AuthorizationError(
                message=_("This token has no scope %(scope)s. An administrator can make one that has.")
                % {"scope": self.scope.value}
            )
        return caller
