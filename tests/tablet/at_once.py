"""Posts the same things at the same moment, each from a connection of its own.

As a program it does so to a database in a file, which SQLite shares between connections as a server does:
`python -m tests.tablet.at_once` prints what became of it as JSON.
"""

import json
import os
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tests.tablet.conftest import Tablet

AT_ONCE = 4


def sent_at_once(tablet: "Tablet", batches: list[list[dict[str, Any]]]) -> list[list[str]]:
    """The statuses of each batch, all of them posted together by clients of their own."""
    from django.db import connection

    from tests.tablet.conftest import Tablet

    def send(entries: list[dict[str, Any]]) -> list[str]:
        try:
            return Tablet(tablet.device, tablet.person).told(*entries)
        finally:
            connection.close()

    with ThreadPoolExecutor(max_workers=AT_ONCE) as pool:
        return list(pool.map(send, batches))


def same_four_times() -> dict[str, Any]:
    """One answer and one mark, four times at once; then ten answers in four batches that overlap."""
    from handover.tablet.models import Receipt
    from handover.walkround.models import CheckAnswer, Mark
    from shared.ledger.verifying import verify_all
    from tests.tablet.conftest import asked

    tablet, walk = _pickup()
    drain = asked(walk, "Floor drain clear")
    scratch = {"kind": "scratch", "part": "door", "place": "door", "size_mm": "40", "x_mm": "-1025", "y_mm": "2600"}
    pair = [tablet.says("check", walk, drain, word="good"), tablet.says("mark", walk, **scratch)]
    first = sent_at_once(tablet, [pair] * AT_ONCE)
    more = [tablet.says("check", walk, drain, word="bad") for _ in range(10)]
    second = sent_at_once(tablet, [more[:6], more[4:], more[::-1], more[2:8]])
    return {
        "first": sorted(status for statuses in zip(*first, strict=True) for status in [sorted(statuses)]),
        "second": sorted({status for statuses in second for status in statuses}),
        "checks": CheckAnswer.objects.count(),
        "marks": Mark.objects.count(),
        "receipts": Receipt.objects.count(),
        "contiguous": tablet.send()["contiguous_seq"],
        "faults": len(list(verify_all())),
    }


def _pickup() -> tuple["Tablet", Any]:
    from datetime import timedelta

    from django.db import transaction
    from django.utils import timezone

    from handover.tablet.devices import device_of
    from tests.factories import PersonFactory, RentalFactory
    from tests.playing import start
    from tests.tablet.conftest import TABLET_2, Tablet

    isla = PersonFactory()
    with transaction.atomic():  # as a booking is: what the factory makes is stated by the first entry
        walk = start(RentalFactory(), "pickup", isla, at=timezone.now() - timedelta(hours=1))
    return Tablet(device_of(TABLET_2, isla), isla), walk


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        os.environ["DATABASE_URL"] = f"sqlite:///{Path(folder) / 'at_once.sqlite3'}"
        os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"
        import django
        from django.test.utils import setup_test_environment

        django.setup()
        setup_test_environment()
        from tests.tables import make_tables

        make_tables()
        sys.stdout.write(json.dumps(same_four_times()))


if __name__ == "__main__":
    main()
