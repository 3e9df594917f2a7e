"""Schemathesis asks what the description allows and what it does not: nothing breaks, and every answer is described.

Beside every edge of each parameter, each operation is asked so many drawn cases, half of them broken on purpose: CASES
in the environment, 5 without. Many more: make fuzz CASES=500.
"""

import os
import re
import sys
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

import pytest
import schemathesis
from django.core.signals import request_started
from django.test import override_settings
from hypothesis import HealthCheck, settings
from schemathesis.checks import load_all_checks, positive_data_acceptance

from handover.api.models import ApiToken
from handover.api.words import SLUG
from handover.rental.models import Rental
from shared.wsgi import application
from tests.api.world import a_world, every_operation
from tests.factories import RentalFactory, UnitFactory

CASES = int(os.environ.get("CASES", "5"))
IDS = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")
load_all_checks()
schema = schemathesis.openapi.from_wsgi("/api/v1/openapi.json", application)
known: dict[str, Any] = {}
"""The ids of rows that are there: drawn ones would all be of none."""


@schema.hook
def map_path_parameters(_context: Any, path_parameters: Any) -> Any:
    """An id that could be is one that is there, every other time."""
    return {name: _known(name, value) for name, value in (path_parameters or {}).items()}


def _known(name: str, value: Any) -> Any:
    is_id = isinstance(value, str) and IDS.fullmatch(value)
    return str(known.get(name, value)) if is_id and value[0] < "8" else value


@schema.hook
def map_body(_context: Any, body: Any) -> Any:
    """A branch and a unit that could be are those that are there."""
    if isinstance(body, dict):
        rows = body.get("bookings")
        for row in [body, *(rows if isinstance(rows, list) else [])]:
            _of_the_branch(row)
    return body


def _of_the_branch(row: Any) -> None:
    if isinstance(row, dict) and isinstance(row.get("branch"), str) and re.fullmatch(SLUG, row["branch"]):
        row["branch"] = "inverlark"
        if isinstance(row.get("unit"), str) and row["unit"].isprintable() and 1 <= len(row["unit"]) <= 10:
            row["unit"] = "407"


@schema.hook
def filter_query(_context: Any, query: Any) -> bool:
    """What is drawn to be wrong and then written as nothing at all is not wrong in the address."""
    return all(value not in ([], {}, None, [None]) for value in (query or {}).values())


@schema.hook
def map_query(_context: Any, query: Any) -> Any:
    branch = (query or {}).get("branch")
    return {**query, "branch": "inverlark"} if isinstance(branch, str) and re.fullmatch(SLUG, branch) else query


asked = Counter[str]()


@pytest.fixture(scope="module", autouse=True)
def counted() -> Iterator[None]:
    """How many requests that were, for who ran make fuzz."""

    def count(sender: object, **_said: Any) -> None:
        asked["requests"] += 1

    request_started.connect(count)
    yield
    request_started.disconnect(count)
    sys.stdout.write(f"\n{asked['requests']} requests to {len(every_operation())} operations\n")
    assert asked["requests"] > CASES


@pytest.fixture
def headers(made: tuple[ApiToken, str], served_here: None) -> Iterator[Mapping[str, str]]:
    known.clear()
    RentalFactory(leg=UnitFactory(number="305"))
    known.update(a_world(_rental(), made[0]))
    with override_settings(API_PER_MINUTE=10_000_000):
        yield {"Authorization": f"Bearer {made[1]}"}


def _rental() -> Rental:
    UnitFactory()
    return Rental.objects.get()


# What the description allows can still not be done: another unit is out then. That is 422, and described.
@schema.parametrize()
@settings(
    max_examples=CASES, deadline=None, derandomize="CASES" not in os.environ,
    suppress_health_check=list(HealthCheck),
)  # fmt: skip
def test_every_answer_is_described(case: schemathesis.Case, headers: Mapping[str, str]) -> None:
    case.call_and_validate(headers=dict(headers), excluded_checks=[positive_data_acceptance])
