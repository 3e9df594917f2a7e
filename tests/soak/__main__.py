"""python -m tests.soak [rounds] [seed] [demo]: what can fail in a yard does; then what was kept is counted."""

import sys
import tempfile
import time
from pathlib import Path

from playwright.sync_api import sync_playwright
from tqdm import tqdm

from tests.browser.serving import fill
from tests.soak.rounds import soak

ROUNDS = 1000


def main(words: list[str]) -> int:
    rounds = int(words[0]) if words else ROUNDS
    seed = int(words[1]) if len(words) > 1 else time.time_ns() % 1_000_000
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        filled = Path(words[2]) if len(words) > 2 else Path(folder) / "filled"
        if not filled.exists():
            fill(filled)
        with tqdm(total=rounds, desc=f"seed {seed}", unit="round") as bar:
            account, day = soak(
                playwright, rounds, seed=seed, filled=filled, folder=Path(folder), say=lambda _: bar.update() and None
            )  # fmt: skip
    for what, times in day.happened.most_common():
        tqdm.write(f"  {what:28} {times:5}")
    for sentence in (*day.wrong, *account.lost, *account.doubled):
        tqdm.write(f"  wrong: {sentence}")
    tqdm.write(
        f"{rounds} rounds, {account.entries} entries, {account.photos} photos; "
        f"lost {len(account.lost)}, doubled {len(account.doubled)}, wrong on the screen {len(day.wrong)}"
    )
    return int(not account.holds or bool(day.wrong))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
