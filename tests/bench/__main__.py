"""What things cost, as ratios taken in one run: python -m tests.bench, or with the names of some of PARTS behind it."""

import os
import sys
import tempfile
from importlib import import_module

PARTS = ("record", "photo", "pairs", "statements", "ledger", "reprice", "search", "growth")


def main(parts: list[str]) -> None:
    os.environ["DATABASE_URL"] = "sqlite://:memory:"
    os.environ["LEVELPEG_VAR"] = tempfile.mkdtemp(prefix="levelpeg-bench-")
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shared.settings")
    import django

    django.setup()
    for part in parts or PARTS:
        import_module(f"tests.bench.{part}").run()


main(sys.argv[1:])
