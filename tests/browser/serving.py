"""A real server with the demo in a folder of its own, in processes of their own: nothing here touches its database."""

import fcntl
import os
import shutil
import signal
import socket
import sqlite3
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from uuid import UUID

ROOT = Path(__file__).resolve().parents[2]
PATIENCE = 60


@dataclass(frozen=True)
class Server:
    """Where it answers, and the folder it keeps everything in."""

    address: str
    var: Path

    def rows(self, question: str) -> list[tuple[Any, ...]]:
        """What the server has written, asked of its database."""
        with closing(sqlite3.connect(self.var / "levelpeg.sqlite3", timeout=20)) as connection:
            return connection.execute(question).fetchall()

    def manage(self, *words: str) -> subprocess.CompletedProcess[str]:
        """Runs one of the product's commands beside the server."""
        return subprocess.run(
            [sys.executable, "manage.py", *words],
            cwd=ROOT, env=environment(self.var), capture_output=True, text=True, check=False,
        )  # fmt: skip


def a_pair_with_regions(server: Server) -> UUID:
    """Two photos of one view that do not look alike everywhere."""
    question = "select id from handover_photopair where state = 'aligned' and regions <> '[]' limit 1"
    return UUID(server.rows(question)[0][0])


class Running:
    """A server in a process of its own, that can be stopped, killed and started again at the same address."""

    def __init__(self, server: Server, application: str = "shared.wsgi") -> None:
        self.server = server
        self.application = application
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        with (self.server.var / "server.log").open("a") as log:
            # A session of its own, so that a kill takes its worker with it.
            self.process = subprocess.Popen(
                _gunicorn(self.server, self.application), cwd=ROOT, env=environment(self.server.var),
                stdout=log, stderr=log, start_new_session=True,
            )  # fmt: skip
        _wait_for(self.server, self.process)

    def stop(self) -> None:
        self._end(signal.SIGTERM)

    def kill(self) -> None:
        """As a power cut: nothing is finished first."""
        self._end(signal.SIGKILL)

    def hang(self) -> None:
        """It still takes requests and answers none."""
        self._tell(signal.SIGSTOP)

    def go_on(self) -> None:
        self._tell(signal.SIGCONT)

    def _tell(self, how: signal.Signals) -> None:
        assert self.process
        os.killpg(self.process.pid, how)

    def _end(self, how: signal.Signals) -> None:
        if self.process is None:
            return
        self._tell(how)
        self._tell(signal.SIGCONT)
        self.process.wait(PATIENCE)
        self.process = None


def fill(var: Path) -> None:
    """Plays the demo into the folder."""
    var.mkdir(parents=True, exist_ok=True)
    filled = Server("", var).manage("demo", "--no-serve")
    assert filled.returncode == 0, filled.stdout + filled.stderr


def fill_once(folder: Path) -> Path:
    """The filled folder; the first who asks plays the demo, the others wait for it."""
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not (folder / "var").exists():
            fill(folder / "new")
            (folder / "new").rename(folder / "var")
    return folder / "var"


def copy_of(filled: Path, to: Path) -> Path:
    """The demo as it was filled, in a folder of its own."""
    return Path(shutil.copytree(filled, to))


@contextmanager
def running(var: Path, application: str = "shared.wsgi") -> Iterator[Running]:
    """Serves a filled folder on a free port until the block ends."""
    found = Running(Server(f"http://127.0.0.1:{free_port()}", var), application)
    found.start()
    try:
        yield found
    finally:
        found.stop()


@contextmanager
def demo_server(var: Path) -> Iterator[Server]:
    """Plays the demo into the folder, then serves it on a free port until the block ends."""
    fill(var)
    with running(var) as found:
        yield found.server


def _gunicorn(server: Server, application: str) -> list[str]:
    bind = server.address.removeprefix("http://")
    return [sys.executable, "-m", "gunicorn", application, "--threads", "4", "--bind", bind, "--log-level", "warning"]


def environment(var: Path) -> dict[str, str]:
    """As a newcomer's shell would have it: nothing of the test run's own settings."""
    own = {
        name: value for name, value in os.environ.items() if not name.startswith(("DJANGO_", "LEVELPEG_", "RECORD_"))
    }
    return own | {"LEVELPEG_VAR": str(var)}


def free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        port: int = one.getsockname()[1]
        return port


def _wait_for(server: Server, process: subprocess.Popen[bytes]) -> None:
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until and process.poll() is None:
        try:
            with urllib.request.urlopen(f"{server.address}/sign-in/", timeout=5):  # noqa: S310
                return
        except OSError:
            time.sleep(0.1)
    raise AssertionError((server.var / "server.log").read_text())
