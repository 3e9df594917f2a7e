"""Pages at 1,000 and at 100,000 rentals: the same demo, with a history of its own size beside it, asked in turn.

python -m tests.bench growth [rentals of the small one] [of the large one]
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path

from tests.bench.pairing import say

SMALL, LARGE = 1_000, 100_000
UNITS, BRANCHES = 50, 40  # rentals a unit; branches, where there are units enough
TURNS = 3
ROOT = Path(__file__).resolve().parents[2]


def run(small: int = SMALL, large: int = LARGE) -> None:
    with tempfile.TemporaryDirectory(prefix="levelpeg-growth-") as folder:
        grown = {size: Path(folder) / str(size) for size in (small, large)}
        _call(grown[small], "manage.py", "demo", "--no-serve", quiet=True)
        shutil.copytree(grown[small], grown[large])
        for size, var in grown.items():
            _simulate(var, size)
        # In turn: a machine that grows slower meanwhile does so for both.
        turns = [{size: _asked(var) for size, var in grown.items()} for _ in range(TURNS)]
        _compare(turns, small, large)


def _simulate(var: Path, size: int) -> None:
    """A branch is as busy as it is, however many there are: 2,000 units of 40 branches at 100,000 rentals."""
    units = max(1, size // UNITS)
    branches = max(1, BRANCHES * size // LARGE)
    words = ("--rentals", size, "--units", units, "--branches", branches, "--years", 3)
    say(f"{size:,} rentals", f"{units:,} units", f"{branches} branches")
    _call(var, "manage.py", "simulate", *map(str, words))


def _asked(var: Path) -> Mapping[str, list[float]]:
    return json.loads(_call(var, "-m", "tests.bench.pages", quiet=True).splitlines()[-1])


def _call(var: Path, *words: str, quiet: bool = False) -> str:
    place = {"LEVELPEG_VAR": str(var), "DATABASE_URL": ""}
    done = subprocess.run(
        [sys.executable, *words], cwd=ROOT, env=os.environ | place, check=True, text=True,
        stdout=subprocess.PIPE if quiet else None,
    )  # fmt: skip
    return done.stdout or ""


def _compare(turns: Sequence[Mapping[int, Mapping[str, list[float]]]], small: int, large: int) -> None:
    for page in turns[0][small]:
        best = {size: min(turn[size][page][0] for turn in turns) for size in (small, large)}
        queries = max(asked[page][1] for turn in turns for asked in turn.values())
        say(page, f"{best[large] / best[small]:.2f}", f"of {small:,} at {large:,} rentals; {queries:.0f} queries")
