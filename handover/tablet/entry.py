"""One entry as a tablet sends it, read without trusting any of it."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any, TypeVar
from uuid import UUID

from handover.walkround.fields import Fields
from shared.canonical import sha256_hex

T = TypeVar("T")
# A tablet is back from the longest trip within it; an older time is a clock that was never set.
LONGEST_AWAY = timedelta(days=31)
LARGEST_SEQ = 2**53
SAID = ("kind", "walk", "station", "item", "fields")


class Unreadable(ValueError):
    """A part of an entry is not what it should be."""


@dataclass(frozen=True, slots=True)
class Entry:
    """`base` is the answer that the tablet had seen; `at` is by its clock; `wrong` names a part that is unreadable."""

    key: UUID
    seq: int | None = None
    kind: str = ""
    walk: UUID | None = None
    station: int | None = None
    item: UUID | None = None
    fields: Fields = field(default_factory=lambda: Fields({}))
    base: UUID | None = None
    at: datetime | None = None
    author: UUID | None = None
    token: str = ""
    wrong: str = ""
    sha256: str = ""
    body: str = ""


def key_of(raw: Any) -> UUID | None:
    """The key, without which nothing can be answered to an entry."""
    try:
        return _uuid(raw.get("key")) if isinstance(raw, dict) else None
    except Unreadable:
        return None


def entry_of(key: UUID, raw: Mapping[str, Any]) -> Entry:
    """Every part that can be read. What cannot leaves its usual value and its name in `wrong`."""
    read: dict[str, Any] = {}
    wrong = ""
    for name, reader in READERS.items():
        try:
            read[name] = reader(raw.get(name))
        except Unreadable:
            wrong = wrong or name
    said = json.dumps([raw.get(name) for name in SAID], sort_keys=True)
    return Entry(key=key, wrong=wrong, sha256=sha256_hex(said.encode()), body=json.dumps(dict(raw)), **read)


def corrected(at: datetime, *, skew: timedelta, now: datetime) -> datetime:
    """By the server's clock: never to come, and now where the tablet's clock cannot have been set."""
    try:
        then = at - skew
    except OverflowError:
        return now
    return now if now - then > LONGEST_AWAY else min(then, now)


def instant_of(value: Any) -> datetime:
    """Raises Unreadable for what is no time with its zone."""
    try:
        when = datetime.fromisoformat(value)
    except (TypeError, ValueError) as problem:
        raise Unreadable from problem
    if when.tzinfo is None:
        raise Unreadable
    return when


def _uuid(value: Any) -> UUID:
    try:
        return UUID(value) if isinstance(value, str) else _fail()
    except ValueError as problem:
        raise Unreadable from problem


def _fail() -> Any:
    raise Unreadable


def _if_said(reader: Callable[[Any], T]) -> Callable[[Any], T | None]:
    return lambda value: None if value is None or value == "" else reader(value)


def _whole(value: Any) -> int:
    return value if isinstance(value, int) and not isinstance(value, bool) and 0 < value < LARGEST_SEQ else _fail()


def _text(value: Any) -> str:
    """Half a letter, as a program could cut one, is kept nowhere."""
    return value if isinstance(value, str) and value == value.encode("utf-8", "replace").decode() else _fail()


def storable(text: str) -> str:
    """A sentence may repeat what was typed; a zero byte in it is kept in no database."""
    return text.replace("\0", "")


def _fields(value: Any) -> Fields:
    if not isinstance(value, dict):
        raise Unreadable
    return Fields({name: _texts(said) for name, said in value.items()})


def _texts(value: Any) -> list[str]:
    values = value if isinstance(value, list) else [value]
    return [_text(one) for one in values]


READERS: dict[str, Callable[[Any], Any]] = {
    "seq": _whole,
    "kind": _text,
    "walk": _uuid,
    "station": _if_said(_whole),
    "item": _if_said(_uuid),
    "fields": _fields,
    "base": _if_said(_uuid),
    "at": instant_of,
    "author": _if_said(_uuid),
    "token": _text,
}
