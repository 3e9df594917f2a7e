"""Whether what was given is a second factor of the person: a code that was typed, or the answer of a passkey."""

import json
from typing import Any

from allauth.mfa.models import Authenticator
from allauth.mfa.totp.internal.auth import format_hotp_value, hotp_value, yield_hotp_counters_from_time
from allauth.mfa.utils import decrypt
from allauth.mfa.webauthn.internal import auth as webauthn
from cryptography.exceptions import InvalidSignature
from django.core.exceptions import ValidationError
from django.core.serializers.json import DjangoJSONEncoder
from django.db import transaction

from shared.access.models import Person

LONGEST_CODE, LONGEST_ANSWER = 32, 20_000
# What reading a passkey's answer raises when it was made up: the libraries check no shape beforehand.
MADE_UP = (
    ValidationError, InvalidSignature, ValueError, TypeError, KeyError, IndexError, AttributeError, RecursionError,
    NotImplementedError, OverflowError, AssertionError,
)  # fmt: skip


def is_code_of(person: Person, typed: str) -> bool:
    """A code of the app, which counts once, or a recovery code, which is used up."""
    code = "".join(typed.split()).replace("-", "")
    if not (code.isascii() and code.isdigit() and len(code) <= LONGEST_CODE):
        return False
    rows = Authenticator.objects.filter(user=person).exclude(type=Authenticator.Type.WEBAUTHN)
    return any(_takes(row.pk, code) for row in rows)


@transaction.atomic
def _takes(pk: int, code: str) -> bool:
    """Locked, so that of two who send the same code at once one comes in."""
    row = Authenticator.objects.select_for_update().get(pk=pk)
    if row.type == Authenticator.Type.RECOVERY_CODES:
        found = bool(row.wrap().validate_code(code))
    else:
        found = _is_next(row, code)
    if found:
        Authenticator.objects.get(pk=pk).record_usage()
    return found


def _is_next(row: Authenticator, code: str) -> bool:
    """allauth remembers used codes in the cache of one process; here the row remembers, for all of them."""
    counter = counter_of(decrypt(row.data["secret"]), code)
    if counter is None or counter <= row.data.get("counter", -1):
        return False
    row.data["counter"] = counter
    row.save(update_fields=["data"])
    return True


def counter_of(secret: str, code: str) -> int | None:
    """The half minute that the code is of; None where it is of none that counts now."""
    counters = yield_hotp_counters_from_time()
    return next((at for at in counters if format_hotp_value(hotp_value(secret, at)) == code), None)


def passkey_options(person: Person) -> str:
    """What the browser hands to the passkey, as JSON; the challenge is kept in the session."""
    return _json(webauthn.begin_authentication(person))


def is_passkey_of(person: Person, answer: str) -> bool:
    try:
        given = _read(answer)
        webauthn.parse_authentication_response(given)
        webauthn.complete_authentication(person, given).record_usage()
    except MADE_UP:
        return False
    return True


def new_passkey_options(person: Person) -> str:
    return _json(webauthn.begin_registration(person, passwordless=False))


def new_passkey(answer: str) -> dict[str, Any] | None:
    """What is kept of a new passkey; None where the answer is not to the challenge of this session."""
    try:
        given = _read(answer)
        webauthn.parse_registration_response(given)
        webauthn.complete_registration(given)
    except MADE_UP:
        return None
    return given


def _read(answer: str) -> dict[str, Any]:
    if len(answer) > LONGEST_ANSWER:
        raise ValueError("No passkey says that much.")
    given = json.loads(answer)
    if not isinstance(given, dict):
        raise TypeError("The answer of a passkey is an object.")
    return given


def _json(options: dict[str, Any]) -> str:
    return json.dumps(options, cls=DjangoJSONEncoder)
