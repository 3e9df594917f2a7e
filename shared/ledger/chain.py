"""What one link of a chain is hashed over. Pure: no Django, no clock, no database."""

from dataclasses import dataclass
from datetime import UTC, datetime
from uuid import UUID

from shared.canonical import canonical, sha256_hex

START = "0" * 64
"""What the first entry of a chain names as the digest before it."""


@dataclass(frozen=True, slots=True)
class Link:
    """Every column of one entry but its own digest.

    payload is canonical JSON (RFC 8785) as text; actor is the id of a person, None for the program itself;
    both times are aware.
    """

    id: UUID
    chain: UUID
    sequence: int
    kind: str
    payload: str
    actor: UUID | None
    device: str
    happened_at: datetime
    recorded_at: datetime
    key: UUID
    subject: UUID | None
    previous: str


def instant(when: datetime) -> str:
    """An aware time as UTC with six digits of the second: 2026-07-04T08:15:00.000000Z."""
    return when.astimezone(UTC).isoformat(timespec="microseconds").removesuffix("+00:00") + "Z"


def hashed_form(link: Link) -> bytes:
    """The canonical JSON object a digest is taken over, with the payload in it as an object.

    The keys of canonical JSON stand in order, so the stored payload goes in between as it is: what is hashed are the
    very bytes that are kept, and a payload rewritten with other spacing is found out.
    """
    before = canonical(
        {
            "actor": _text(link.actor),
            "chain": str(link.chain),
            "device": link.device,
            "happened_at": instant(link.happened_at),
            "id": str(link.id),
            "key": str(link.key),
            "kind": link.kind,
        }
    )
    after = canonical(
        {
            "previous": link.previous,
            "recorded_at": instant(link.recorded_at),
            "sequence": link.sequence,
            "subject": _text(link.subject),
        }
    )
    return before[:-1] + b',"payload":' + link.payload.encode() + b"," + after[1:]


def link_digest(link: Link) -> str:
    """SHA-256 of the hashed form, 64 lower-case hex digits."""
    return sha256_hex(hashed_form(link))


def _text(identity: UUID | None) -> str | None:
    return None if identity is None else str(identity)
