"""Two days of a rental, sealed with the demo key, the second one stamped by an authority of the test's own."""

from datetime import UTC, datetime, timedelta
from unittest.mock import patch

import pytest
from pyhanko.sign.timestamps import DummyTimeStamper

from handover.dayseal.sealing import seal_days
from shared.ledger.models import DaySeal
from tests.ledger.conftest import OTHER_RENTAL, RENTAL, write  # noqa: F401 a fixture
from tests.record.test_verify import timestamping_key

MONDAY = datetime(2026, 8, 17, 9, tzinfo=UTC)
NOW = datetime.now(UTC)  # the demo key is made by the run


@pytest.fixture(scope="session")
def stamper() -> DummyTimeStamper:
    return DummyTimeStamper(*timestamping_key())


@pytest.fixture
def written(write):  # noqa: F811
    """Entries of Monday and Tuesday in two chains."""
    for day, chain in ((0, RENTAL), (0, OTHER_RENTAL), (1, RENTAL)):
        with patch("django.utils.timezone.now", return_value=MONDAY + timedelta(days=day)):
            write(chain=chain)


@pytest.fixture
def sealed(written) -> list[DaySeal]:
    return list(seal_days(now=NOW))
