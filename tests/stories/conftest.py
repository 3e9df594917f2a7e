"""A clock that a story moves, and the usual booking: unit 407, 14 August 2026, 10:00, to 18 August, 11:00."""

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import pytest
from django.utils import timezone

from fleet.models import Branch, Unit
from handover.rental.models import Rental
from tests.counter.conftest import MORE_RULES
from tests.factories import RateCardFactory, RentalFactory, UnitFactory
from tests.photos.pictures import noise, saved
from tests.playing import as_committed
from tests.stories.steps import at

DAMAGE_RULES: dict[str, Any] = MORE_RULES | {"damage": {"pricing": "invoice"}}
It = Callable[[str], None]


@pytest.fixture
def it_is(monkeypatch: pytest.MonkeyPatch) -> It:
    """it_is("14 Aug 2026 09:00") sets the clock of the branch."""

    def stands(text: str) -> None:
        now = at(text).astimezone(UTC)
        monkeypatch.setattr(timezone, "now", lambda: now)

    stands("14 Aug 2026 09:00")
    return stands


@pytest.fixture
def rates(inverlark: Branch) -> None:
    """Fuel, gas, kits, lateness, cleaning, tanks, equipment; damage by quotes, 40.00 for handling each event."""
    RateCardFactory(branch=inverlark, rules=DAMAGE_RULES)


@pytest.fixture
def rental(rates: None, it_is: It) -> Rental:
    """Excess 1 000.00 for each event, deposit 500.00."""
    return RentalFactory(leg=UnitFactory())


@pytest.fixture
def unit_118(inverlark: Branch) -> Unit:
    return UnitFactory(number="118")


@pytest.fixture(scope="session")
def shots() -> tuple[bytes, bytes]:
    """Two pictures of other bytes."""
    return saved(noise(640, 480), "JPEG"), saved(noise(800, 600), "JPEG")


@pytest.fixture
def after_commit() -> Callable[[], Any]:
    """Within it what waits for the commit is done at its end."""
    return as_committed


def utc(year: int, month: int, day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(year, month, day, hour, minute, tzinfo=UTC)
