"""Photos are read by a process of its own: what it may break, and when it ends."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from shared.photos import aside
from shared.photos.aside import ingest_aside
from shared.photos.ingest import Photo, ingest
from shared.photos.refusing import CAN, NotAPhoto
from tests.photos.pictures import quarters, saved

SHOT = saved(quarters(), "JPEG")
KILLED = """
import os, signal
from shared.photos.aside import _reader, ingest_aside
from tests.photos.test_aside import SHOT
ingest_aside(SHOT)
print(*_reader()._processes, flush=True)
os.kill(os.getpid(), signal.SIGKILL)
"""
# As a web process that is made anew: its threads finish what they have while the interpreter ends.
ENDING = """
import time
from concurrent.futures import ThreadPoolExecutor
from shared.photos.aside import ingest_aside
from tests.photos.test_aside import SHOT
ingest_aside(SHOT)
def reads():
    time.sleep(1)
    print(len(ingest_aside(SHOT).thumb), flush=True)
ThreadPoolExecutor(1).submit(reads).add_done_callback(lambda read: read.result())
"""


def breaks_off(data: bytes, *, zone: str | None = None) -> Photo:
    os._exit(1)


def test_is_read_as_by_ourselves() -> None:
    assert ingest_aside(SHOT, zone="Europe/London") == ingest(SHOT, zone="Europe/London")


def test_what_is_no_photo_is_refused_in_the_same_sentence() -> None:
    with pytest.raises(NotAPhoto) as by_us:
        ingest(b"%PDF-1.7")
    with pytest.raises(NotAPhoto) as aside_of_us:
        ingest_aside(b"%PDF-1.7")
    assert str(aside_of_us.value) == str(by_us.value)


def test_after_a_reader_was_killed_there_is_another() -> None:
    ingest_aside(SHOT)
    for pid in aside._reader()._processes:
        os.kill(pid, signal.SIGKILL)
    assert ingest_aside(SHOT).thumb


def test_what_breaks_its_reader_each_time_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(aside, "ingest", breaks_off)
    with pytest.raises(NotAPhoto, match="reading it breaks off each time") as refused:
        ingest_aside(SHOT)
    assert str(refused.value).endswith(CAN)
    monkeypatch.undo()
    assert ingest_aside(SHOT).thumb


def test_one_that_comes_while_the_process_ends_is_read() -> None:
    done = subprocess.run([sys.executable, "-c", ENDING], capture_output=True, text=True, check=False)
    assert done.stdout.strip() == str(len(ingest(SHOT).thumb)), done.stderr


@pytest.mark.skipif(not Path("/proc/self").exists(), reason="Looks at processes as Linux shows them.")
def test_ends_when_its_parent_was_killed() -> None:
    done = subprocess.run([sys.executable, "-c", KILLED], capture_output=True, text=True, check=False)
    reader = Path("/proc") / done.stdout.strip()
    for _turn in range(100):
        if not reader.exists():
            return
        time.sleep(0.1)
    pytest.fail(f"{reader} still runs.")
