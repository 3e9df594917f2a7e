"""Two ways of doing a thing, timed in alternating rounds of one run: only their ratio is worth keeping."""

import statistics
from collections.abc import Callable
from time import process_time


def seconds(work: Callable[[], object]) -> float:
    """Of this process on its core: what else the machine does meanwhile does not count."""
    start = process_time()
    work()
    return process_time() - start


def alternating(*works: Callable[[], object], rounds: int = 7) -> tuple[float, ...]:
    """The median seconds of each, after one round that does not count."""
    taken = [[seconds(work) for work in works] for _ in range(rounds + 1)][1:]
    return tuple(statistics.median(column) for column in zip(*taken, strict=True))


def say(what: str, figure: str, goal: str = "") -> None:
    print(f"{what:44} {figure:>22}   {goal}", flush=True)  # noqa: T201
