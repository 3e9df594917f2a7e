"""The same entries from several connections at the same moment: each is written once, whatever the database."""

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from typing import Any

import pytest
from django.conf import settings
from django.db import connection

from tests.ledger.forcing import force
from tests.tablet.at_once import AT_ONCE, same_four_times

ONCE = sorted(["ok", *["duplicate"] * (AT_ONCE - 1)])
EXPECTED = {
    "first": [ONCE, ONCE], "second": ["duplicate", "ok"], "checks": 11, "marks": 1, "receipts": 12, "contiguous": 12,
    "faults": 0,
}  # fmt: skip


@pytest.fixture
def _emptied() -> Iterator[None]:
    yield
    force("DELETE FROM shared_entry")


@pytest.mark.skipif(connection.vendor == "sqlite", reason="the test database of SQLite lives in one connection")
@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("_emptied")
def test_on_the_database_of_the_tests() -> None:
    assert same_four_times() == EXPECTED


@pytest.mark.timeout(300)
def test_on_a_database_in_a_file() -> None:
    """SQLite as the demo and a small yard have it: many connections, one writer at a time."""
    own: dict[str, Any] = {name: value for name, value in os.environ.items() if name != "PYTEST_CURRENT_TEST"}
    run = subprocess.run(
        [sys.executable, "-m", "tests.tablet.at_once"], cwd=settings.BASE_DIR, env=own, capture_output=True, text=True,
        check=False, timeout=280,
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    assert json.loads(run.stdout) == EXPECTED
