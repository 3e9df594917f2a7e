"""What one test finds of the key is no news for the next."""

from collections.abc import Iterator

import pytest

from handover.record.expiring import seal_days_left


@pytest.fixture(autouse=True)
def _asked_anew() -> Iterator[None]:
    """It is remembered for a day, and some tests are of a server with the demo's key, which may use none."""
    seal_days_left.cache_clear()
    yield
    seal_days_left.cache_clear()
