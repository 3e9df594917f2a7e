"""gunicorn -c .deploy/gunicorn.conf.py shared.wsgi: processes and threads by the environment, lines as the program's.

Two processes a core and some threads each: a request waits for the database and the disk more than it reckons.
"""

import logging
import os
import shutil
import sys
import tempfile
from pathlib import Path

bind = os.environ.get("LEVELPEG_BIND", "127.0.0.1:8000")
workers = int(os.environ.get("LEVELPEG_PROCESSES", str(2 * (os.cpu_count() or 1))))
threads = int(os.environ.get("LEVELPEG_THREADS", "4"))
# A photo over a bad network comes in slowly, and is read by a thread meanwhile.
timeout, graceful_timeout, keepalive = 60, 30, 5
# A process is made anew after a while, each at another moment: what a library leaves behind goes with it.
max_requests, max_requests_jitter = 5000, 500
worker_tmp_dir = "/dev/shm" if Path("/dev/shm").is_dir() else None  # noqa: S108
forwarded_allow_ips = os.environ.get("LEVELPEG_PROXY", "127.0.0.1")
# The program writes one line a request with the page's name. gunicorn's own would say the address, and in that of a
# customer's page stands the key to it.
accesslog, errorlog = None, "-"

# Before anything loads the library, which decides by it where it counts.
if "PROMETHEUS_MULTIPROC_DIR" not in os.environ:
    os.environ["PROMETHEUS_MULTIPROC_DIR"] = tempfile.mkdtemp(prefix="levelpeg-metrics-")


def without_address(record: logging.LogRecord) -> bool:
    """What breaks before any page is found would be told with its address."""
    if str(record.msg).startswith("Error handling request"):
        record.msg, record.args = "A request broke before any page was found.", ()
    return True


def on_starting(server: object) -> None:
    """Counts of a run before belong to nobody."""
    logging.getLogger("gunicorn.error").addFilter(without_address)
    folder = Path(os.environ["PROMETHEUS_MULTIPROC_DIR"])
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(mode=0o700, parents=True)


def post_fork(server: object, worker: object) -> None:
    """A thread that draws a whole walk-round holds the others up at each of their queries: for less long so."""
    sys.setswitchinterval(0.001)


def child_exit(server: object, worker: object) -> None:
    from prometheus_client import multiprocess  # noqa: PLC0415

    multiprocess.mark_process_dead(worker.pid)  # type: ignore[attr-defined]


def on_exit(server: object) -> None:
    shutil.rmtree(os.environ["PROMETHEUS_MULTIPROC_DIR"], ignore_errors=True)
