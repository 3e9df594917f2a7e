"""Two tablets write to one rental at once. SQLite lets one transaction write at a time; PostgreSQL does not."""

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from uuid import UUID

import pytest
from django.db import connection, transaction

from shared.ids import uuid7
from shared.ledger.models import Entry
from shared.ledger.verifying import verify_all
from shared.ledger.writing import append, seen
from tests.ledger.conftest import EIGHT, RENTAL
from tests.ledger.forcing import force

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(connection.vendor == "sqlite", reason="the test database of SQLite lives in one connection"),
]


@pytest.fixture(autouse=True)
def _emptied() -> Iterator[None]:
    yield
    force("DELETE FROM shared_entry")


def act(key: UUID) -> UUID:
    """An action: the entry of this key, made now or before."""
    try:
        with transaction.atomic():
            entry = seen(key, chain=RENTAL, kind="mark.seen") or append(
                chain=RENTAL, kind="mark.seen", payload={}, by=None, key=key, happened_at=EIGHT
            )
            return entry.id
    finally:
        connection.close()


def at_once(action: Callable[[UUID], UUID], keys: list[UUID]) -> set[UUID]:
    with ThreadPoolExecutor(max_workers=8) as pool:
        return set(pool.map(action, keys))


def test_acts_at_once_make_one_chain() -> None:
    at_once(act, [uuid7() for _ in range(40)])
    assert list(Entry.objects.order_by("sequence").values_list("sequence", flat=True)) == list(range(1, 41))
    assert list(verify_all()) == []


def test_replays_at_once_make_one_entry() -> None:
    assert len(at_once(act, [uuid7()] * 16)) == Entry.objects.count() == 1
