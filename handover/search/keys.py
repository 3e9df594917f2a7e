"""The order of the index, as bytes: kind, way of reading, text, then the newest day first, then the row. Pure.

Every question is a range of these keys, and the last key of a page is where the next one goes on.
"""

import struct
from collections.abc import Iterable, Iterator
from datetime import date
from enum import StrEnum

from handover.search.folding import every_beginning
from handover.search.kinds import Kind

Range = tuple[bytes, bytes]
LAST = 0xFFFFFFFF


class Way(StrEnum):
    """In the order in which what they find is shown."""

    NUMBER = "1"
    PHRASE = "2"
    DAY = "3"
    OTHER_DAY = "4"  # a rental is also found by the day it comes back


def keys_of(
    kind: Kind, row: int, *, day: date, until: date | None, numbers: Iterable[str], names: Iterable[str],
    words: Iterable[str],
) -> Iterator[bytes]:  # fmt: skip
    tight, loose = every_beginning(numbers, names, words)
    for way, texts in ((Way.NUMBER, tight), (Way.PHRASE, loose)):
        for text in texts:
            yield _head(kind, way) + text.encode() + b"\0" + _day(day) + struct.pack(">Q", row)
    yield _head(kind, Way.DAY) + _day(day) + struct.pack(">Q", row)
    if until and until != day:
        yield _head(kind, Way.OTHER_DAY) + _day(until) + struct.pack(">Q", row)


def beginning_with(kind: Kind, way: Way, text: str) -> Range:
    """No byte of UTF-8 is 255."""
    low = _head(kind, way) + text.encode()
    return low, low + b"\xff"


def on_days(kind: Kind, way: Way, start: date | None, end: date | None) -> Range:
    """Both days belong to it; None is no bound."""
    low = _day(end) if end else b""
    high = struct.pack(">I", LAST - start.toordinal() + 1) if start else b"\xff" * 5
    return _head(kind, way) + low, _head(kind, way) + high


def kind_of(key: bytes | memoryview) -> Kind:
    """PostgreSQL gives a view of the bytes."""
    return Kind(bytes(key[:1]).decode())


def _head(kind: Kind, way: Way) -> bytes:
    return f"{kind.value}{way.value}".encode()


def _day(day: date) -> bytes:
    return struct.pack(">I", LAST - day.toordinal())
