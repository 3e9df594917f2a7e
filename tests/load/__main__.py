"""python -m tests.load [tablets] [seconds between two answers] [minutes]: a season's morning on this machine.

So many tablets do pickups with photos against gunicorn and a worker, with the database that DATABASE_URL names (none:
SQLite); everything, the tablets too, shares the same processors. With the word `most` in place of the number it looks
for the largest number of tablets at which an answer takes 150 ms or less at the 95th percentile.
"""

import asyncio
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import aiohttp
from tqdm import tqdm

from tests.load.tablet import Seen, Tablet
from tests.photos.pictures import noise, saved

ROOT = Path(__file__).resolve().parents[2]
GOAL_S = 0.150
TABLETS, GAP_S, MINUTES = 200, 20.0, 12.0
# Of the time, walk-rounds begin in the first part; what an answer takes is measured in the rest.
BEGINNING = 5 / 12
TRIED = (50, 100, 200, 300, 400, 600, 800)


def main(words: Sequence[str]) -> int:
    gap = float(words[1]) if len(words) > 1 else GAP_S
    minutes = float(words[2]) if len(words) > 2 else MINUTES
    if words and words[0] == "most":
        return _most(gap, minutes)
    return 0 if _run(int(words[0]) if words else TABLETS, gap, minutes) else 1


def _most(gap: float, minutes: float) -> int:
    carried = 0
    for tablets in TRIED:
        if not _run(tablets, gap, minutes):
            break
        carried = tablets
    _say(f"carries {carried} tablets at {GOAL_S * 1000:.0f} ms")
    return 0


def _run(tablets: int, gap: float, minutes: float) -> bool:
    """True where the bound held, nothing went wrong and nothing was lost."""
    with tempfile.TemporaryDirectory(prefix="levelpeg-load-") as folder:
        var = Path(folder)
        environment = _environment(var)
        plans = _prepared(var, tablets, environment)
        with _serving(var, environment) as address:
            seen = asyncio.run(_drive(address, plans, gap, minutes))
        _call("manage.py", "db_worker", "--batch", environment=environment)
        lost = _lost(seen, environment, var)
    return _told(seen, tablets, gap, lost)


def _environment(var: Path) -> dict[str, str]:
    return os.environ | {"LEVELPEG_VAR": str(var), "TASKS": "database", "DJANGO_SETTINGS_MODULE": "shared.settings"}


def _prepared(var: Path, tablets: int, environment: dict[str, str]) -> list[Mapping[str, Any]]:
    branches = max(1, tablets // 10)
    history = ("simulate", "--rentals", str(2 * tablets), "--units", str(tablets), "--branches", str(branches))
    for command in (("demo", "--no-serve"), history):
        _call("manage.py", *command, environment=environment | {"TASKS": ""})
    _call("-m", "tests.load.plan", str(tablets), str(var / "plan.json"), environment=environment)
    plans: list[Mapping[str, Any]] = json.loads((var / "plan.json").read_text())
    return plans


def _call(*words: str, environment: Mapping[str, str]) -> str:
    done = subprocess.run(
        [sys.executable, *words], cwd=ROOT, env=environment, text=True, capture_output=True, check=False
    )
    if done.returncode:
        raise SystemExit(done.stdout + done.stderr)
    return done.stdout


@contextmanager
def _serving(var: Path, environment: Mapping[str, str]) -> Iterator[str]:
    """The web processes of the deploy examples, and a worker that lets them go first."""
    port = 8000 + os.getpid() % 20_000
    web = ("-m", "gunicorn", "-c", ".deploy/gunicorn.conf.py", "shared.wsgi", "--bind", f"127.0.0.1:{port}",
           "--log-level", "warning")  # fmt: skip
    with (var / "server.log").open("a") as log:
        started = [
            subprocess.Popen([sys.executable, *web], cwd=ROOT, env=environment, stdout=log, stderr=log),
            subprocess.Popen(
                ["nice", "-n", "10", sys.executable, "manage.py", "db_worker"], cwd=ROOT, env=environment,
                stdout=log, stderr=log,
            ),
        ]  # fmt: skip
    address = f"http://127.0.0.1:{port}"
    _warm(address)
    try:
        yield address
    finally:
        for process in started:
            process.terminate()
        for process in started:
            process.wait(60)


def _warm(address: str) -> None:
    """Until each of its processes has loaded what a request needs."""
    until = time.monotonic() + 120
    for _turn in range(16):
        while not _answers(address):
            if time.monotonic() > until:
                raise SystemExit("The server does not come up.")
            time.sleep(0.5)


def _answers(address: str) -> bool:
    try:
        with urllib.request.urlopen(f"{address}/sign-in/", timeout=30):  # noqa: S310
            return True
    except OSError:
        return False


async def _drive(address: str, plans: Sequence[Mapping[str, Any]], gap: float, minutes: float) -> Seen:
    begins, within = time.monotonic(), minutes * 60 * BEGINNING
    seen, until = Seen(within, begins + within), begins + minutes * 60
    picture = saved(noise(640, 480).resize((2560, 1920)), "JPEG")
    limits = aiohttp.TCPConnector(limit=0)
    # No jar: every tablet has cookies of its own.
    async with aiohttp.ClientSession(
        address, connector=limits, timeout=aiohttp.ClientTimeout(total=60), cookie_jar=aiohttp.DummyCookieJar()
    ) as http:
        tablets = [Tablet(http, plan, seen, gap=gap, number=number) for number, plan in enumerate(plans)]
        with tqdm(total=round(minutes * 60), unit="s", disable=None) as bar:
            ticking = asyncio.create_task(_tick(bar))
            await asyncio.gather(*(tablet.work(picture, until) for tablet in tablets))
            ticking.cancel()
    return seen


async def _tick(bar: "tqdm[Any]") -> None:
    while True:
        await asyncio.sleep(1)
        bar.update(1)


def _lost(seen: Seen, environment: Mapping[str, str], var: Path) -> Mapping[str, int]:
    """What the server acknowledged and does not have, or has twice; what the ledger says of all of it."""
    (var / "acknowledged.json").write_text(json.dumps({"keys": seen.acknowledged, "photos": seen.photos}))
    said = _call("-m", "tests.load.kept", str(var / "acknowledged.json"), environment=environment)
    found: Mapping[str, int] = json.loads(said.splitlines()[-1])
    return found


def _told(seen: Seen, tablets: int, gap: float, kept: Mapping[str, int]) -> bool:
    answers, at_first = (
        [one for what in ("begin", "answer", "hand-over") for one in taken.get(what, [])]
        for taken in (seen.taken, seen.at_first)
    )
    requests = sum(len(taken) for found in (seen.taken, seen.at_first) for taken in found.values())
    _say(f"{tablets} tablets, an answer every {gap:g} s on each; {requests:,} requests; {seen.handed_over} handed over")
    for when, found in (("while they begin", seen.at_first), ("when all have begun", seen.taken)):
        _say(when)
        for what, taken in sorted(found.items()):
            median = statistics.median(taken) * 1000
            _say(f"  {what:20} {len(taken):6,} times  median {median:6.0f} ms  95 % {_p95(taken):6.0f} ms")
    _say(f"an action while they begin  {len(at_first):6,} times  95 % {_p95(at_first):.0f} ms")
    _say(f"an action                   {len(answers):6,} times  95 % {_p95(answers):.0f} ms")
    _say(f"errors {len(seen.wrong)}; acknowledged {len(seen.acknowledged):,} entries and {len(seen.photos):,} photos; "
         + ", ".join(f"{name} {count}" for name, count in kept.items()))  # fmt: skip
    for sentence in seen.wrong[:5]:
        _say(f"  {sentence}")
    return not seen.wrong and not any(kept.values()) and _p95(answers) <= GOAL_S * 1000


def _p95(taken: Sequence[float]) -> float:
    """In milliseconds."""
    return statistics.quantiles(taken, n=20)[-1] * 1000 if len(taken) > 1 else 0.0


def _say(sentence: str) -> None:
    tqdm.write(sentence)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
