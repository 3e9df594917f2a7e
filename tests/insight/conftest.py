"""A rental settled at 621.67 (tests/dispute says of what), asked about in the August it was due back."""

from datetime import timedelta

import pytest

from fleet.models import Branch
from handover.insight.asking import Asked, asked_of
from tests.dispute.conftest import (
    as_ruth,
    back,
    clock,
    committed,
    kept_back,
    kept_out,
    kept_settled,
    out,
    settled,
    shots,
)
from tests.factories import BACK_AT

__all__ = [
    "as_ruth", "back", "clock", "committed", "kept_back", "kept_out", "kept_settled", "out", "settled", "shots"
]  # fmt: skip
AUGUST = {"branch": "all", "start": "2026-08-01", "end": "2026-08-31"}
NOW = BACK_AT + timedelta(days=20)


@pytest.fixture
def august(inverlark: Branch, port_averil: Branch) -> Asked:
    return asked_of(AUGUST, [inverlark, port_averil], now=NOW)


@pytest.fixture
def september(inverlark: Branch, port_averil: Branch) -> Asked:
    return asked_of(AUGUST | {"start": "2026-09-01", "end": "2026-09-30"}, [inverlark, port_averil], now=NOW)
