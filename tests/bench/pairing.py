"""Two ways of doing a thing, timed in alternating rounds of one run: only their ratio is worth keeping."""

import statistics
from collections.abc import Callable
from time import perf_counter


def seconds(work: Callable[[], object]) -> float:
    start = perf_counter()
    work()
    return perf_counter() - start


def alternating(*works: Callable[[], object], rounds: int = 7) -> tuple[float, ...]:
    """The median seconds of each, after one round that does not count."""
    taken = [[seconds(work) for work in works] for _ in range(rounds + 1)][1:]
    return tuple(statistics.median(column) for column in zip(*taken, strict=True))


def say(what: str, figure: str, goal: str = "") -> None:
    print(f"{what:44} {figure:>22}   {goal}", flush=True)  # noqa: T201
