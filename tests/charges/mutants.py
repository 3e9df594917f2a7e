"""The score of the mutants, by module: `mutmut results --all true | python -m tests.charges.mutants`.

A mutant is killed when a test fails on it, or when it never ends; one that was not tried does not count.
"""

import sys
from collections import Counter
from collections.abc import Iterable, Iterator

DEAD = ("killed", "timeout")


def score(results: Iterable[str]) -> Iterator[str]:
    """Killed of tried, for each module and for all of them; then the names of those that live."""
    tried, killed, alive = Counter[str](), Counter[str](), []
    for name, _, how in (line.strip().partition(": ") for line in results):
        module = name.rpartition(".")[0]
        tried[module] += how != "not checked"
        killed[module] += how in DEAD
        alive += [f"{name}: {how}"] if how not in (*DEAD, "not checked") else []
    yield from (f"{module} {killed[module]} of {tried[module]}" for module in sorted(tried) if tried[module])
    yield from alive
    yield f"killed {killed.total()} of {tried.total()}, {killed.total() / max(1, tried.total()):.1%}"


if __name__ == "__main__":
    sys.stdout.write("\n".join(score(sys.stdin)) + "\n")
