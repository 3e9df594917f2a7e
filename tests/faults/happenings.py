"""What goes wrong, and how it ends again: each takes the machine and waits by itself."""

import os
import time
from collections.abc import Callable

from tests.faults.machine import Machine, Postgres

Happening = Callable[[Machine], None]


def web_process_killed(machine: Machine) -> None:
    machine.kill_one_web_process()


def web_killed(machine: Machine) -> None:
    machine.kill("web")
    time.sleep(1)
    machine.start_web()
    machine.wait_for_web()


def web_made_anew(machine: Machine) -> None:
    """As after an update: each process finishes what it has, and another takes its place."""
    machine.make_web_anew()


def worker_killed(machine: Machine) -> None:
    """Whoever starts it again asks first for what the killed one left, as the deploy examples do."""
    machine.kill("worker")
    machine.call("manage.py", "tasks_again")
    machine.start_worker()


def disk_full(machine: Machine) -> None:
    """To the last byte, for some seconds."""
    filler = machine.disk / "filler"
    with filler.open("wb") as file:
        try:
            while True:
                file.write(b"\0" * 2**20)
        except OSError:
            pass
    time.sleep(4)
    filler.unlink()


def clock_moved(machine: Machine) -> None:
    """The server's clock is two hours behind, then right again: it is set between two starts."""
    for ahead_s in (-7200, 0):
        machine.kill("web")
        machine.ahead_s = ahead_s
        machine.start_web()
        machine.wait_for_web()
        time.sleep(5)


def store_away(machine: Machine) -> None:
    """The folder of photos and records cannot be reached: something else stands in its place."""
    store, aside = machine.disk / "evidence", machine.disk / "evidence-away"
    os.rename(store, aside)
    store.write_text("not a folder")
    time.sleep(4)
    store.unlink()
    os.rename(aside, store)


def database_stopped(postgres: Postgres) -> Happening:
    def stopped(machine: Machine) -> None:
        postgres.stop()
        time.sleep(3)
        postgres.start()
        # A worker that cannot reach its database ends; whoever runs it starts it again.
        worker_killed(machine)

    return stopped


OF_ALL: dict[str, Happening] = {
    "web process killed": web_process_killed,
    "web killed": web_killed,
    "web made anew": web_made_anew,
    "worker killed": worker_killed,
    "disk full": disk_full,
    "clock two hours back and forth": clock_moved,
    "store away": store_away,
}
