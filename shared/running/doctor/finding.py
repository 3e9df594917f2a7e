"""One thing that is wrong, or worth knowing."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Finding:
    """`wrong`: has to be put right; otherwise somebody should look when there is time. `do` says how."""

    name: str
    sentence: str
    do: str
    wrong: bool = True


Check = Callable[[], Iterator[Finding]]


def examine(checks: Sequence[Check]) -> Iterator[Finding]:
    """What each check finds. One that cannot be made is a finding, and the others go on."""
    for check in checks:
        try:
            yield from check()
        except Exception as fault:
            # Of the fault its kind alone: a database's own words may quote a row.
            name = check.__name__.replace("_", "-")
            yield Finding(
                name, f"This could not be looked at: {type(fault).__name__}.",
                "Put right what else is said here, then ask again.",
            )  # fmt: skip
