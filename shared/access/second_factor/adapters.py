"""What allauth asks its host: nobody signs up, secrets are kept sealed, and how a passkey names this place."""

import base64
import hashlib

from allauth.account.adapter import DefaultAccountAdapter
from allauth.core import context
from allauth.mfa.adapter import DefaultMFAAdapter
from cryptography.fernet import Fernet, MultiFernet
from django.conf import settings
from django.http import HttpRequest

from shared.access.models import Person


class NobodySignsUp(DefaultAccountAdapter):  # type: ignore[misc]
    """People are made by an administrator."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False


class SecondFactorAdapter(DefaultMFAAdapter):  # type: ignore[misc]
    def encrypt(self, text: str) -> str:
        """Whoever reads the database alone has no codes: the key follows from the server's secret."""
        return _box().encrypt(text.encode()).decode()

    def decrypt(self, encrypted_text: str) -> str:
        return _box().decrypt(encrypted_text.encode()).decode()

    def _get_user_identifier(self, user: Person) -> str:
        """The name that is typed to sign in; the mail address is nobody's business."""
        return user.get_username()

    def get_public_key_credential_rp_entity(self) -> dict[str, str]:
        return {"id": context.request.get_host().partition(":")[0], "name": settings.MFA_TOTP_ISSUER}


def _box() -> MultiFernet:
    """The first key seals; those of earlier secrets still open."""
    return MultiFernet([_key(secret) for secret in (settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS)])


def _key(secret: str | bytes) -> Fernet:
    text = secret.encode() if isinstance(secret, str) else secret
    return Fernet(base64.urlsafe_b64encode(hashlib.sha256(b"second factor|" + text).digest()))
