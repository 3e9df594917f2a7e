"""python -m tests.faults [sqlite|postgres|both] [faults] [seed]: what stays when everything goes, one after the other.

Tablets do pickups with photos while web, worker, database, disk, clock and store go at random and come back; the mail
server is away all the time. At the end each pickup is whole: nothing acknowledged is lost, nothing is there twice, the
ledger holds, every record is made once, and every letter says why it did not go.
"""

import asyncio
import json
import os
import random
import secrets
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import aiohttp
from tqdm import tqdm

from tests.browser.serving import free_port
from tests.faults.happenings import OF_ALL, Happening, database_stopped
from tests.faults.machine import Machine, Postgres, small_disk
from tests.faults.stubborn import Stubborn
from tests.load.tablet import Seen
from tests.photos.pictures import noise, saved

TABLETS, GAP_S, FAULTS = 10, 1.5, 12
QUIET_S = (2.0, 8.0)
DATABASES = {"sqlite": ["sqlite"], "postgres": ["postgres"], "both": ["sqlite", "postgres"]}


def main(words: Sequence[str]) -> int:
    which = words[0] if words else "both"
    faults = int(words[1]) if len(words) > 1 else FAULTS
    seed = int(words[2]) if len(words) > 2 else secrets.randbelow(100_000)
    if which not in DATABASES:
        raise SystemExit(f"There is no run on {which!r}: {', '.join(DATABASES)}.")
    held = [_run(database, faults, seed) for database in DATABASES[which]]
    return int(not all(held))


def _run(database: str, faults: int, seed: int) -> bool:
    with tempfile.TemporaryDirectory(prefix="levelpeg-faults-") as name, small_disk(Path(name)) as disk:
        Path(name).chmod(0o755)
        postgres = Postgres(Path(name) / "postgres") if database == "postgres" else None
        if postgres:
            postgres.start()
        machine = Machine(disk / "var", _environment(disk / "var", postgres), free_port())
        machine.disk.mkdir()
        try:
            return _tried(machine, postgres, faults, seed, database)
        finally:
            machine.stop()
            if postgres:
                postgres.stop()


def _environment(var: Path, postgres: Postgres | None) -> dict[str, str]:
    """Letters go to a server that does not answer."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("LEVELPEG_", "DATABASE_"))}
    return kept | {
        "LEVELPEG_VAR": str(var), "TASKS": "database", "DJANGO_SETTINGS_MODULE": "shared.settings",
        "DATABASE_URL": postgres.url if postgres else "", "LEVELPEG_EMAIL_HOST": "127.0.0.1",
        "LEVELPEG_EMAIL_PORT": str(free_port()), "LEVELPEG_EMAIL_TLS": "0",
    }  # fmt: skip


def _tried(machine: Machine, postgres: Postgres | None, faults: int, seed: int, database: str) -> bool:
    plans = _prepared(machine)
    machine.start_web()
    machine.start_worker()
    machine.wait_for_web()
    happenings = OF_ALL | ({"database stopped and started": database_stopped(postgres)} if postgres else {})
    seen, happened, again = asyncio.run(_drive(machine, plans, happenings, faults, random.Random(seed)))  # noqa: S311
    machine.call("manage.py", "tasks_again")
    machine.kill("worker")
    machine.call("manage.py", "db_worker", "--batch")
    kept = _kept(machine, seen)
    told = ", ".join(f"{name} {count}" for name, count in sorted(happened.items()))
    _say(f"{database}, seed {seed}: {sum(happened.values())} faults ({told}); asked again {again:,} times")
    _say(f"  {len(plans)} pickups, {seen.handed_over} handed over; acknowledged {len(seen.acknowledged):,} entries and "
         f"{len(seen.photos):,} photos; " + ", ".join(f"{name} {count}" for name, count in kept.items()))  # fmt: skip
    for sentence in seen.wrong[:8]:
        _say(f"  wrong: {sentence}")
    return not seen.wrong and not any(kept.values()) and seen.handed_over == len(plans)


def _prepared(machine: Machine) -> list[Mapping[str, Any]]:
    size = ("--rentals", str(2 * TABLETS), "--units", str(TABLETS), "--branches", "2")
    for command in (("demo", "--no-serve"), ("simulate", *size)):
        machine.call("manage.py", *command, TASKS="")
    file = machine.disk / "plan.json"
    machine.call("-m", "tests.load.plan", str(TABLETS), str(file))
    plans: list[Mapping[str, Any]] = json.loads(file.read_text())
    return plans


async def _drive(
    machine: Machine, plans: Sequence[Mapping[str, Any]], happenings: Mapping[str, Happening], faults: int,
    chance: random.Random,
) -> tuple[Seen, Counter[str], int]:  # fmt: skip
    seen, happened = Seen(begin_within=GAP_S), Counter[str]()
    picture = saved(noise(640, 480), "JPEG")
    async with aiohttp.ClientSession(
        machine.address, timeout=aiohttp.ClientTimeout(total=30), cookie_jar=aiohttp.DummyCookieJar(),
        connector=aiohttp.TCPConnector(limit=0, force_close=True),
    ) as http:  # fmt: skip
        tablets = [Stubborn(http, plan, seen, gap=GAP_S, number=number) for number, plan in enumerate(plans)]
        working = asyncio.gather(*(tablet.work(picture, until=float("inf")) for tablet in tablets))
        names = sorted(happenings)
        for number in tqdm(range(faults), unit="fault", disable=None):
            await asyncio.sleep(chance.uniform(*QUIET_S))
            # Each kind once before any comes twice.
            name = names[number % len(names)] if number < len(names) else chance.choice(names)
            await asyncio.to_thread(happenings[name], machine)
            happened[name] += 1
        await working
    return seen, happened, sum(tablet.again for tablet in tablets)


def _kept(machine: Machine, seen: Seen) -> Mapping[str, int]:
    file = machine.disk / "acknowledged.json"
    file.write_text(json.dumps({"keys": seen.acknowledged, "photos": seen.photos}))
    found: dict[str, int] = json.loads(machine.call("-m", "tests.load.kept", str(file)).splitlines()[-1])
    return found


def _say(sentence: str) -> None:
    tqdm.write(f"{time.strftime('%H:%M:%S')} {sentence}")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
