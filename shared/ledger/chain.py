"""What one link of a chain is hashed over. Pure: no Django, no clock, no database."""

from dataclasses import dataclass
from datetime import UTC, datetime
from json.encoder import encode_basestring
from uuid import UUID

from shared.canonical import sha256_hex

START = "0" * 64
"""What the first entry of a chain names as the digest before it."""


@dataclass(frozen=True, slots=True)
class Link:
    """Every column of one entry but its own digest.

    payload is canonical JSON (RFC 8785) as text, and so is rows, which is empty where no typed row was written; actor
    is the id of a person, None for the program itself; both times are aware.
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
    rows: str
    previous: str


def instant(when: datetime) -> str:
    """An aware time as UTC with six digits of the second: 2026-07-04T08:15:00.000000Z."""
    return when.astimezone(UTC).isoformat(timespec="microseconds").removesuffix("+00:00") + "Z"


def hashed_form(link: Link) -> bytes:
    """The canonical JSON object (RFC 8785) a digest is taken over, with the payload in it as an object.

    An entry without rows has no such key. It is written out here, keys in order, because the stored payload is
    canonical already and goes in as it is: what is hashed are the very bytes that are kept, and a payload rewritten
    with other spacing is found out.
    """
    return (
        f'{{"actor":{_identity(link.actor)},"chain":"{link.chain}","device":{encode_basestring(link.device)}'
        f',"happened_at":"{instant(link.happened_at)}","id":"{link.id}","key":"{link.key}"'
        f',"kind":{encode_basestring(link.kind)},"payload":{link.payload}'
        f',"previous":{encode_basestring(link.previous)},"recorded_at":"{instant(link.recorded_at)}"'
        f'{_rows(link.rows)},"sequence":{link.sequence},"subject":{_identity(link.subject)}}}'
    ).encode()


def link_digest(link: Link) -> str:
    """SHA-256 of the hashed form, 64 lower-case hex digits."""
    return sha256_hex(hashed_form(link))


def _identity(identity: UUID | None) -> str:
    return "null" if identity is None else f'"{identity}"'


def _rows(rows: str) -> str:
    return f',"rows":{rows}' if rows else ""
