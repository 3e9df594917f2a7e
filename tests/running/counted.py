"""Tasks for two workers at once: each run leaves a file; one waits, so that its worker can be killed at it."""

import time
from pathlib import Path
from uuid import uuid4

from django_tasks import task


@task()
def count(number: int, folder: str) -> None:
    (Path(folder) / f"{number}.{uuid4().hex}").touch()


@task()
def count_when_told(number: int, folder: str) -> None:
    """Says that it began, and ends when it is told to."""
    (Path(folder) / "begun").touch()
    while not (Path(folder) / "go").exists():
        time.sleep(0.01)
    count.func(number, folder)
