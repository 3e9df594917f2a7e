"""What the ledger costs: python -m tests.bench.ledger [ENTRIES]

Verification is compared, in the same run and in alternating rounds, with bare canonical JSON and SHA-256 of the same
entries already in memory. Everything happens in a database in memory that is thrown away.
"""

import os
import statistics
import sys
from collections.abc import Callable
from time import perf_counter

ROUNDS = 5


def main(count: int) -> None:
    os.environ["DATABASE_URL"] = "sqlite://:memory:"
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shared.settings")
    import django

    django.setup()
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    appended = _seconds(lambda: _append(count))
    bare, verified = _alternating(_bare(), _verify)
    print(f"append        {appended / count * 1e6:8.0f} µs an entry, with its queries")  # noqa: T201
    print(f"verify        {verified / count * 1e6:8.1f} µs an entry, with reading it")  # noqa: T201
    print(f"bare          {bare / count * 1e6:8.1f} µs an entry: canonical JSON and SHA-256 alone")  # noqa: T201
    print(f"verify : bare {bare / verified:8.2f} of its speed (goal 0.5 or more)")  # noqa: T201


def _append(count: int) -> None:
    from datetime import UTC, datetime

    from django.db import transaction

    from shared.ids import uuid7
    from shared.ledger.writing import append

    payload = {"instrument": "fuel gauge", "value": "47.5", "unit": "L", "station": "cab", "steps": [5, 8]}
    with transaction.atomic():
        chain = uuid7()
        for number in range(count):
            chain = uuid7() if number % 150 == 0 else chain
            append(
                chain=chain,
                kind="reading.taken",
                payload=payload,
                by=None,
                key=uuid7(),
                happened_at=datetime.now(UTC),
                subject=uuid7(),
                device="tablet 2",
            )


def _bare() -> Callable[[], None]:
    import json

    from shared.canonical import digest
    from shared.ledger.chain import hashed_form
    from shared.ledger.models import Entry

    whole = [json.loads(hashed_form(entry.link)) for entry in Entry.objects.all()]

    def run() -> None:
        for entry in whole:
            digest(entry)

    return run


def _verify() -> None:
    from shared.ledger.verifying import verify_all

    problems = list(verify_all())
    if problems:
        raise SystemExit("\n".join(problems))


def _alternating(first: Callable[[], None], second: Callable[[], None]) -> tuple[float, float]:
    """Median seconds of each, taken in turns so that a busy machine troubles both alike."""
    rounds = [(_seconds(first), _seconds(second)) for _ in range(ROUNDS)]
    return statistics.median(one for one, _ in rounds), statistics.median(two for _, two in rounds)


def _seconds(run: Callable[[], None]) -> float:
    start = perf_counter()
    run()
    return perf_counter() - start


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 6000)
