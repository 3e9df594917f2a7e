"""What the ledger costs. Verification is compared with bare canonical JSON and SHA-256 of the same entries, which are
already in memory. Everything happens in a database in memory that is thrown away."""

import json
from datetime import UTC, datetime

from django.core.management import call_command
from django.db import transaction

from shared.canonical import digest
from shared.ids import uuid7
from shared.ledger.chain import hashed_form
from shared.ledger.models import Entry
from shared.ledger.verifying import verify_all
from shared.ledger.writing import append
from tests.bench.pairing import alternating, say, seconds

COUNT = 3000
A_RENTAL = 150  # entries
PAYLOAD = {"instrument": "fuel gauge", "value": "47.5", "unit": "L", "station": "cab", "steps": [5, 8]}


def run() -> None:
    call_command("migrate", verbosity=0)
    appended = seconds(_append)
    whole = [json.loads(hashed_form(entry.link)) for entry in Entry.objects.all()]
    bare, verified = alternating(lambda: [digest(entry) for entry in whole], _verify, rounds=5)
    say("one ledger entry appended, with its queries", f"{appended / COUNT * 1e6:,.0f} µs")
    say("one ledger entry read and verified", f"{verified / COUNT * 1e6:,.0f} µs")
    say("speed against bare canonical JSON and SHA-256", f"{bare / verified:.2f}", "goal 0.5 or more")


def _append() -> None:
    with transaction.atomic():
        chain = uuid7()
        for number in range(COUNT):
            chain = chain if number % A_RENTAL else uuid7()
            append(
                chain=chain,
                kind="reading.taken",
                payload=PAYLOAD,
                by=None,
                key=uuid7(),
                happened_at=datetime.now(UTC),
                subject=uuid7(),
                device="tablet 2",
            )


def _verify() -> None:
    if problems := list(verify_all()):
        raise SystemExit("\n".join(problems))
