"""A picture is read beside everything else: by a process of its own, one at a time, which lets the others go first.

A thread would hold up everybody: while it waits for a processor it keeps the interpreter's lock. And a file that brings
down its reader brings down nothing else.
"""

import multiprocessing
import os
import signal
import threading
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from functools import cache

from shared.photos.ingest import Photo, ingest
from shared.photos.refusing import broke_its_reader

NICENESS = 10
# Another's picture may have brought down the reader that ours waited for.
TRIES = 2


def ingest_aside(data: bytes, *, zone: str | None = None) -> Photo:
    """As `ingest` does, and raises what it raises; NotAPhoto too for what no reader survives."""
    for _try in range(TRIES):
        try:
            reading = _reader().submit(ingest, data, zone=zone)
        except BrokenProcessPool:
            _reader.cache_clear()
            continue
        except RuntimeError:
            # This process ends, its reader has gone before it, and the requests that it still has are to be answered.
            return ingest(data, zone=zone)
        try:
            return reading.result()
        except BrokenProcessPool:
            _reader.cache_clear()
    raise broke_its_reader()


@cache
def _reader() -> ProcessPoolExecutor:
    """Begun with the first picture; not forked, since the others' threads may hold a lock at that moment."""
    return ProcessPoolExecutor(1, multiprocessing.get_context("spawn"), _behave)


def _behave() -> None:
    """Goes last, leaves it to its parent what a key on the keyboard ends, and ends when the parent has."""
    os.nice(NICENESS)
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    """One that was killed tells nobody to stop."""
    if parent := multiprocessing.parent_process():
        parent.join()
        os._exit(0)
