"""python -m tests.tamper [rounds] [seed]: so many random changes of evidence; how many of them the checks find.

A row is looked at by the check of its chain (verify_ledger --rental), a day by that of the days, a file by its digest
and a record by verify_record as well; every 500th change is also looked for by all checks together. Each change is
taken back, by the database itself or byte for byte; after every fourth the same check must then find nothing, after
every 500th and at the end all of them.
"""

import os
import random
import sys
import tempfile
import time
from collections import Counter

ROUNDS = 5000


def main(words: list[str]) -> int:
    rounds = int(words[0]) if words else ROUNDS
    seed = int(words[1]) if len(words) > 1 else time.time_ns() % 1_000_000
    with tempfile.TemporaryDirectory(prefix="levelpeg-tamper-") as folder:
        os.environ["DATABASE_URL"] = "sqlite://:memory:"
        os.environ["LEVELPEG_VAR"] = folder
        os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shared.settings")
        import django

        django.setup()
        from tests.tamper.rounds import Rounds

        tried = Rounds(random.Random(seed))  # noqa: S311 a seed says it again
        tried.run(rounds, label=f"seed {seed}")
    _tell(tried.tried, tried.missed, tried.places)
    for sentence in (*tried.missed_where[:20], *tried.false_alarms[:20]):
        print("  wrong:", sentence)  # noqa: T201
    found = sum(tried.tried.values()) - sum(tried.missed.values())
    print(  # noqa: T201
        f"seed {seed}: {sum(tried.tried.values()):,} changes, {found:,} found, {sum(tried.missed.values())} missed; "
        f"{tried.untouched:,} checks of untouched data, {len(tried.false_alarms)} false alarms"
    )
    return int(bool(tried.missed or tried.false_alarms))


def _tell(tried: "Counter[str]", missed: "Counter[str]", places: "Counter[str]") -> None:
    for what, times in sorted(tried.items()):
        print(f"  {what:34} {times:6,} found {times - missed[what]:6,}")  # noqa: T201
    print(f"  columns tried: {len(places)}")  # noqa: T201


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
