"""Maren Oduya's rental of August 2026, settled on the 18th, with a word and a picture of everything."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import UTC, date, datetime
from pathlib import PurePath
from typing import Any
from unittest.mock import patch

import pytest

from handover.acting import AnyonesAct
from handover.customer.models import NoticedPhoto
from handover.photo.models import Photo
from handover.rental.models import Rental
from handover.retention.erasing.whole import erase
from handover.retention.judging import judge
from handover.retention.models import Erasure, Why
from handover.statement.models import Statement
from shared.files.store import keep, read
from shared.ids import uuid7
from tests.factories import BranchFactory, PersonFactory, PortAverilFactory
from tests.kept import anew
from tests.playing import as_committed
from tests.retention import playing

SOON = datetime(2026, 8, 25, 12, tzinfo=UTC)
A_YEAR_ON = datetime(2027, 9, 1, 12, tzinfo=UTC)
LONG_AFTER = datetime(2037, 1, 5, 2, tzinfo=UTC)


def at(now: datetime) -> AbstractContextManager[object]:
    return patch("django.utils.timezone.now", lambda: now)


@pytest.fixture(scope="session")
def shots() -> dict[str, bytes]:
    return playing.shots()


@pytest.fixture(scope="module")
def kept_settled(kept_for_module: None, shots: dict[str, bytes]) -> Rental:
    """Played by the manager, who may do both walk-rounds."""
    both = [BranchFactory(), PortAverilFactory()]
    ruth = PersonFactory(username="ruth", first_name="Ruth", last_name="Aldane", role="manager", branches=both)
    rental = playing.booked(both[0], ruth)
    playing.gone(rental, ruth, shots)
    with at(playing.ON_TRIP):
        playing.noticed(rental, ruth, shots)
    with at(playing.LATER):
        playing.back(rental, ruth, shots)
    return rental


@pytest.fixture(scope="module")
def pictures(kept_settled: Rental) -> list[tuple[bytes, str]]:
    """Each file of it in the store, with its suffix."""
    rows = [row for of in (Photo, NoticedPhoto) for row in of.objects.values_list("original", "display", "thumb")]
    return [(read(name), PurePath(name).suffix) for row in rows for name in row]


@pytest.fixture
def settled(kept_settled: Rental, pictures: list[tuple[bytes, str]], db: None) -> Rental:
    """With its files, which the database does not bring back after a test that erased them."""
    for data, suffix in pictures:
        keep(data, suffix=suffix)
    return anew(kept_settled)


@pytest.fixture
def statement(settled: Rental) -> Statement:
    return settled.statements.get(version=2)


@pytest.fixture
def after_commit() -> Callable[[], Any]:
    """Within it what waits for the commit is done at its end."""
    return as_committed


def erased(rental: Rental, why: Why = Why.SCHEDULE, *, now: datetime = LONG_AFTER) -> Erasure | None:
    """As the nightly run erases one rental."""
    (row,) = judge(Rental.objects.filter(pk=rental.pk).select_related("branch", "customer"), today=now.date())
    return erase(row.rental, row.scope(why, day=now.date()), act=AnyonesAct(by=None, at=now, key=uuid7()))


def a_day(text: str) -> date:
    return date.fromisoformat(text)
