"""Personal data beside the ledger: a payload states a salted digest, the value can be erased."""

import secrets
from collections.abc import Iterator, Mapping
from typing import Any

from django.utils import timezone

from shared.canonical import Json
from shared.canonical import digest as json_digest
from shared.ledger.models import PersonalValue


def personal(value: str, *, kind: str) -> dict[str, str]:
    """Keep a value and give the reference for a payload: {"kind": "customer.name", "digest": 64 hex digits}.

    Each call salts anew, so that equal values cannot be told from the ledger.
    """
    salt = secrets.token_hex(32)
    kept = PersonalValue.objects.create(kind=kind, salt=salt, value=value, digest=personal_digest(kind, salt, value))
    return {"kind": kind, "digest": kept.digest}


def worded(text: str) -> dict[str, Json] | None:
    """As personal(), for words that somebody typed: they may name people. None for no words."""
    return dict(personal(text, kind="words")) if text else None


def in_words(stated: Any) -> str:
    """The words behind what a payload states of them; empty when there were none, or when they were erased.

    Payloads written before the words had a digest hold the text itself.
    """
    if isinstance(stated, Mapping):
        return recall(str(stated["digest"])) or ""
    return str(stated or "")


def personal_digest(kind: str, salt: str, value: str) -> str:
    """SHA-256 over the canonical JSON of {"kind", "salt", "value"}; salt is 64 hex digits."""
    return json_digest({"kind": kind, "salt": salt, "value": value})


def recall(digest: str) -> str | None:
    """The value behind a digest; None when it was erased. Raises PersonalValue.DoesNotExist for an unknown digest."""
    kept = PersonalValue.objects.get(digest=digest)
    return None if kept.erased_at else kept.value


def forget(digest: str) -> bool:
    """Erase the value and its salt; False when there was nothing to erase.

    An erasure leaves its own entry: append it in the same transaction, and the ledger still verifies.
    """
    kept = PersonalValue.objects.filter(digest=digest, erased_at=None).first()
    if kept is None:
        return False
    kept.value, kept.salt, kept.erased_at = "", "", timezone.now()
    kept.save(update_fields=["value", "salt", "erased_at"])
    return True


def altered_values() -> Iterator[str]:
    """A sentence for each kept value that is not the one its digest was taken of."""
    kept = PersonalValue.objects.filter(erased_at=None).order_by("pk")
    for row in kept.iterator(chunk_size=500):
        if personal_digest(row.kind, row.salt, row.value) != row.digest:
            yield f"Personal value {row.id} ({row.kind}) is not the one that digest {row.digest} was taken of."
