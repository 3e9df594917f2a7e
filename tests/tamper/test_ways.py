"""Each way of tampering on a small history, a few times; `make tamper` does it thousands of times on a large one."""

import random

import pytest
from django.db import connection

from handover.dayseal.sealing import seal_days
from tests.dayseal.conftest import NOW
from tests.factories import BACK_AT
from tests.ledger.conftest import write  # noqa: F401 a fixture
from tests.playing import come_back, go
from tests.tamper.checks import says
from tests.tamper.guards import unguarded
from tests.tamper.history import days_ago
from tests.tamper.mutations import WAYS, NotPossible, undone
from tests.tamper.places import places
from tests.tamper.values import another

pytestmark = pytest.mark.skipif(connection.vendor != "sqlite", reason="it speaks of rowids, which only SQLite has")
TIMES = 12


@pytest.fixture
def history(booked, isla, callum):
    """Out two days ago, back yesterday, both days sealed; something of today."""
    with days_ago(2):
        go(booked, isla, diesel="82")
    with days_ago(1):
        come_back(booked, callum, at=BACK_AT, diesel="47.5")
    list(seal_days(now=NOW))


@pytest.mark.parametrize("way", [way for way, _ in WAYS], ids=lambda way: way.__name__)
def test_it_is_found_and_when_it_is_taken_back_nothing_is(history, way):
    rng, found, tried = random.Random(5), places(), 0  # noqa: S311 the same each time
    with unguarded():
        while tried < TIMES:
            with undone():
                try:
                    done = way(found, rng)
                except NotPossible:
                    continue
                assert says(done.check), done
            assert list(done.check()) == []
            tried += 1


@pytest.mark.parametrize(
    ("value", "declared"),
    [
        (None, "datetime"), (None, "char(32)"), (None, "integer unsigned"), (None, "text"), (0, "bool"), (1, "bool"),
        (0, "integer"), (7, "integer"), (47.5, "decimal"), ("", "varchar(300)"), ("[]", "text"), ('{"a":1}', "text"),
        ("2026-08-14 08:00:00", "datetime"), ("2026-08-14", "date"), ("0" * 32, "char(32)"),
        (b"", "blob"), (b"x", "blob"),
    ],
)  # fmt: skip
def test_another_value_is_another(value, declared):
    rng = random.Random(3)  # noqa: S311 the same each time
    assert all(another(value, declared, rng) != value for _ in range(50))
