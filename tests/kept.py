"""A state that a module keeps: `kept_…` makes it once on top of `kept_for_module`, and each test reads it anew.

    @pytest.fixture(scope="module")
    def kept_out(kept_for_module: None) -> Rental: ...

    @pytest.fixture
    def out(kept_out: Rental, db: None) -> Rental:
        return anew(kept_out)

The kept states of a module build on one another. Its tests come in random order, those that need fewer of them first,
so that none sees a later one.
"""

from collections.abc import Iterable, Iterator
from datetime import datetime
from itertools import groupby
from typing import TypeVar

import pytest
from django.db.models import Model
from django.utils import timezone

Row = TypeVar("Row", bound=Model)


def anew(kept: Row) -> Row:
    """The row as the database has it: no test sees another's Python object."""
    return type(kept)._default_manager.get(pk=kept.pk)


def fewest_kept_first(items: Iterable[pytest.Item]) -> Iterator[pytest.Item]:
    """The tests of each module that need fewer kept states come first; otherwise the order stays."""
    for _, together in groupby(items, key=lambda item: item.path):
        yield from sorted(together, key=_kept)


def _kept(item: pytest.Item) -> int:
    return sum(name.startswith("kept_") for name in getattr(item, "fixturenames", ()))


def clock_at(now: datetime) -> Iterator[None]:
    """For the whole module it is this time, until a test says otherwise."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(timezone, "now", lambda: now)
        yield
