from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

import pytest
from django.db import transaction

from shared.ids import uuid7
from shared.ledger.models import Entry
from shared.ledger.writing import append
from shared.models import Person

RENTAL = UUID("01980000-0000-7000-8000-00000000a101")
OTHER_RENTAL = UUID("01980000-0000-7000-8000-00000000a102")
EIGHT = datetime(2026, 7, 4, 8, 0, tzinfo=UTC)

Write = Callable[..., Entry]


@pytest.fixture
def write(isla: Person) -> Write:
    """Append one entry as an action would, with what does not matter filled in."""

    def entry(**said: Any) -> Entry:
        usual = {
            "chain": RENTAL,
            "kind": "reading.taken",
            "payload": {"instrument": "fuel", "value": "47.5", "unit": "L"},
            "by": isla,
            "key": uuid7(),
            "happened_at": EIGHT,
            "device": "tablet 2",
        }
        with transaction.atomic():
            return append(**{**usual, **said})

    return entry


@pytest.fixture
def chain(write: Write) -> list[Entry]:
    """Five readings of one rental, a minute apart."""
    return [
        write(happened_at=EIGHT + timedelta(minutes=minute), payload={"value": str(minute)}, subject=uuid7())
        for minute in range(5)
    ]
