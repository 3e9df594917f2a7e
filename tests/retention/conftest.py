"""Maren Oduya's rental of August 2026, settled on the 18th, with a word and a picture of everything."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import UTC, date, datetime
from typing import Any
from unittest.mock import patch

import pytest

from fleet.models import Branch
from handover.acting import AnyonesAct
from handover.rental.models import Rental
from handover.retention.erasing.whole import erase
from handover.retention.judging import judge
from handover.retention.models import Erasure, Why
from handover.statement.models import Statement
from shared.access.models import Person
from shared.ids import uuid7
from tests.retention import playing

SOON = datetime(2026, 8, 25, 12, tzinfo=UTC)
A_YEAR_ON = datetime(2027, 9, 1, 12, tzinfo=UTC)
LONG_AFTER = datetime(2037, 1, 5, 2, tzinfo=UTC)


def at(now: datetime) -> AbstractContextManager[object]:
    return patch("django.utils.timezone.now", lambda: now)


@pytest.fixture(scope="session")
def shots() -> dict[str, bytes]:
    return playing.shots()


@pytest.fixture
def settled(inverlark: Branch, ruth: Person, shots: dict[str, bytes]) -> Rental:
    """Played by the manager, who may do both walk-rounds."""
    rental = playing.booked(inverlark, ruth)
    playing.gone(rental, ruth, shots)
    with at(playing.ON_TRIP):
        playing.noticed(rental, ruth, shots)
    with at(playing.LATER):
        playing.back(rental, ruth, shots)
    rental.refresh_from_db()
    return rental


@pytest.fixture
def statement(settled: Rental) -> Statement:
    return settled.statements.get(version=2)


@pytest.fixture
def after_commit(django_capture_on_commit_callbacks: Callable[..., Any]) -> Callable[[], Any]:
    """Within it what waits for the commit is done at its end."""
    return lambda: django_capture_on_commit_callbacks(execute=True)


def erased(rental: Rental, why: Why = Why.SCHEDULE, *, now: datetime = LONG_AFTER) -> Erasure | None:
    """As the nightly run erases one rental."""
    (row,) = judge(Rental.objects.filter(pk=rental.pk).select_related("branch", "customer"), today=now.date())
    return erase(row.rental, row.scope(why, day=now.date()), act=AnyonesAct(by=None, at=now, key=uuid7()))


def a_day(text: str) -> date:
    return date.fromisoformat(text)
