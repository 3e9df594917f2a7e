"""A picture is read beside everything else: one at a time in a process, by a thread that lets others go first.

An answer takes some hundredths of a second of a processor, a photo several times that.
"""

import os
import threading
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress

from shared.photos.ingest import Photo, ingest

NICENESS = 10


def _let_others_go_first() -> None:
    """Of this thread alone, which Linux allows; elsewhere it stays as the others are."""
    with suppress(OSError):
        os.setpriority(os.PRIO_PROCESS, threading.get_native_id(), NICENESS)


READER = ThreadPoolExecutor(1, "photos", _let_others_go_first)


def ingest_aside(data: bytes, *, zone: str | None = None) -> Photo:
    """As `ingest` does, and raises what it raises."""
    return READER.submit(ingest, data, zone=zone).result()
