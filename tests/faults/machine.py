"""The server as it stands in a yard: web processes, a worker, its database and its disk, each of which can go."""

import os
import shutil
import signal
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

from tests.browser.serving import free_port

ROOT = Path(__file__).resolve().parents[2]
DISK_MB = 700
PATIENCE_S = 90


@dataclass
class Machine:
    """`disk` is a file system of its own, so that it can be full without hurting anybody else."""

    disk: Path
    environment: dict[str, str]
    port: int
    started: dict[str, "subprocess.Popen[bytes]"] = field(default_factory=dict)
    ahead_s: int = 0

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    @property
    def log(self) -> Path:
        """Outside the disk that is filled."""
        return self.disk.parent.parent / "server.log"

    def call(self, *words: str, **more: str) -> str:
        done = subprocess.run(
            [sys.executable, *words], cwd=ROOT, env=self.environment | more, text=True, capture_output=True, check=False
        )
        if done.returncode:
            raise SystemExit(done.stdout + done.stderr)
        return done.stdout

    def start_web(self) -> None:
        gunicorn = ("-m", "gunicorn", "tests.faults.behind", "--workers", "2", "--threads", "4", "--bind",
                    f"127.0.0.1:{self.port}", "--log-level", "error", "--graceful-timeout", "5")  # fmt: skip
        self.started["web"] = self._popen([sys.executable, *gunicorn], CLOCK_AHEAD_S=str(self.ahead_s))

    def start_worker(self) -> None:
        self.started["worker"] = self._popen([sys.executable, "manage.py", "db_worker"])

    def _popen(self, words: Sequence[str], **more: str) -> "subprocess.Popen[bytes]":
        with self.log.open("a") as log:
            return subprocess.Popen(
                words, cwd=ROOT, env=self.environment | more, stdout=log, stderr=log, start_new_session=True
            )

    def kill(self, name: str) -> None:
        """The whole group at once, as when the power goes."""
        with suppress(ProcessLookupError):
            os.killpg(self.started[name].pid, signal.SIGKILL)
        self.started.pop(name).wait(PATIENCE_S)

    def kill_one_web_process(self) -> None:
        """Its master starts another."""
        children = subprocess.run(
            ["pgrep", "-P", str(self.started["web"].pid)], capture_output=True, text=True, check=False
        ).stdout.split()
        if children:
            os.kill(int(children[0]), signal.SIGKILL)

    def make_web_anew(self) -> None:
        os.kill(self.started["web"].pid, signal.SIGHUP)

    def wait_for_web(self) -> None:
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until:
            with suppress(OSError), urllib.request.urlopen(f"{self.address}/sign-in/", timeout=10):  # noqa: S310
                return
            time.sleep(0.3)
        raise SystemExit("The server does not come up.\n" + self.log.read_text()[-2000:])

    def stop(self) -> None:
        for name in list(self.started):
            self.kill(name)


@contextmanager
def small_disk(folder: Path) -> Iterator[Path]:
    """A disk in memory that can be filled. Needs root: so it says where it is not there."""
    disk = folder / "disk"
    disk.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", f"size={DISK_MB}m", "tmpfs", str(disk)], capture_output=True, check=False
    )
    if mounted.returncode:
        raise SystemExit("A disk of its own needs root: run make faults as root, in a container for example.")
    try:
        yield disk
    finally:
        subprocess.run(["umount", "-l", str(disk)], check=False)


class Postgres:
    """A PostgreSQL of its own, whose commits reach the disk: it is killed in the middle of them."""

    def __init__(self, folder: Path) -> None:
        self.bin = max(Path("/usr/lib/postgresql").glob("*/bin"))
        self.folder, self.port = folder, free_port()
        folder.mkdir()
        shutil.chown(folder, "postgres")
        self._run("initdb", "-D", str(folder / "data"), "-U", "levelpeg", "--auth=trust", "-E", "UTF8", "--locale=C")

    @property
    def url(self) -> str:
        return f"postgres://levelpeg@127.0.0.1:{self.port}/postgres"

    def start(self) -> None:
        said = f"-p {self.port} -k {self.folder} -c listen_addresses=127.0.0.1"
        self._run("pg_ctl", "-D", str(self.folder / "data"), "-l", str(self.folder / "log"), "-w", "-o", said, "start")

    def stop(self) -> None:
        """At once, without a word to anybody who is connected."""
        self._run("pg_ctl", "-D", str(self.folder / "data"), "-m", "immediate", "stop")

    def _run(self, name: str, *words: str) -> None:
        subprocess.run(
            ["runuser", "-u", "postgres", "--", str(self.bin / name), *words], check=True, stdout=subprocess.DEVNULL
        )
