"""A program with every scope at Inverlark, and what it can ask about."""

from collections.abc import Iterator
from typing import Any

import pytest
from django.core.signals import request_finished, request_started
from django.db import close_old_connections

from fleet.models import Branch, Unit
from handover.api.models import ApiToken
from tests.api.made import Program, a_token
from tests.factories import ExtraOfferFactory


@pytest.fixture
def served_here() -> Iterator[None]:
    """Where the product answers by WSGI in this test's own transaction: no request closes its connection."""
    for signal in (request_started, request_finished):
        signal.disconnect(close_old_connections)
    yield
    for signal in (request_started, request_finished):
        signal.connect(close_old_connections)


@pytest.fixture
def made(inverlark: Branch) -> tuple[ApiToken, str]:
    return a_token(inverlark)


@pytest.fixture
def token(made: tuple[ApiToken, str]) -> ApiToken:
    return made[0]


@pytest.fixture
def program(made: tuple[ApiToken, str]) -> Program:
    return Program(made[1])


@pytest.fixture
def booking(unit_407: Unit) -> dict[str, Any]:
    """Maren Oduya's, as another system sends it."""
    ExtraOfferFactory()
    return {
        "reference": "B-88213",
        "branch": "inverlark",
        "unit": "407",
        "customer": {"name": "Maren Oduya", "email": "maren@example.org"},
        "drivers": ["Maren Oduya"],
        "planned_out_at": "2026-08-14T10:00:00+01:00",
        "planned_back_at": "2026-08-18T11:00:00+01:00",
        "charged_days": 4,
        "excess": "1000.00",
        "deposit": "500.00",
        "extras": ["fuel-20"],
    }
