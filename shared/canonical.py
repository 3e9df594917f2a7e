"""Canonical JSON (RFC 8785) and its digest: the one form in which evidence is hashed, kept and compared."""

import hashlib
import json
from collections.abc import Mapping, Sequence
from typing import TypeAlias

import rfc8785

Json: TypeAlias = "bool | int | float | str | Sequence[Json] | Mapping[str, Json] | None"


def canonical(value: Json) -> bytes:
    """The one byte form of a JSON value.

    Amounts and readings go in as decimal strings: a float would round them. Raises
    rfc8785.CanonicalizationError for what JSON cannot hold exactly (NaN, integers beyond 2**53).
    """
    return rfc8785.dumps(value)


def canonical_text(value: Json) -> str:
    return canonical(value).decode()


def sha256_hex(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def digest(value: Json) -> str:
    """SHA-256 of the canonical form, 64 lower-case hex digits."""
    return sha256_hex(canonical(value))


def parse(text: str | bytes) -> Json:
    """JSON text as a value; numbers with a fraction stay exact by being refused (amounts are strings)."""
    parsed: Json = json.loads(text)
    return parsed
