"""How the program connects to PostgreSQL: by a pool when told, for a limited time, under a name."""

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from shared.running.database_setting import name_of, postgresql
from tests.running.test_tasks import needs_postgresql

ROOT = Path(__file__).resolve().parents[2]
GUNICORN = ["/opt/levelpeg/.venv/bin/gunicorn", "shared.wsgi"]


def options(**said: Any) -> dict[str, Any]:
    asked = {"pool": 0, "timeout_s": 60, "words": GUNICORN} | said
    return postgresql({"OPTIONS": {"sslmode": "require"}}, **asked)


def test_without_a_pool_a_thread_keeps_its_connection() -> None:
    said = options()
    assert "CONN_MAX_AGE" not in said
    assert said["CONN_HEALTH_CHECKS"]
    assert said["OPTIONS"] == {
        "sslmode": "require", "application_name": "levelpeg gunicorn", "options": "-c statement_timeout=60000",
    }  # fmt: skip


def test_with_one_django_keeps_none() -> None:
    said = options(pool=8)
    assert (said["CONN_MAX_AGE"], said["OPTIONS"]["pool"]["max_size"]) == (0, 8)


def test_a_command_takes_as_long_as_it_takes() -> None:
    assert "options" not in options(words=["manage.py", "verify_ledger"])["OPTIONS"]
    assert "options" not in options(timeout_s=0)["OPTIONS"]


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (GUNICORN, "gunicorn"),
        (["manage.py", "db_worker", "--batch"], "db_worker"),
        (["./manage.py"], "manage"),
        (["/usr/lib/python3/pytest/__main__.py", "-q"], "__main__"),
        ([], "python"),
    ],
)
def test_it_has_a_name(words: list[str], name: str) -> None:
    assert name_of(words) == name


ASKED = """
import sys
sys.argv = ["manage.py", "runserver"]
import django; django.setup()
from django.db import connection
for _ in range(3):
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_backend_pid(), current_setting('application_name')")
        print(*cursor.fetchone(), end=" ")
        cursor.execute("SHOW statement_timeout")
        print(*cursor.fetchone())
    connection.close()
"""


@needs_postgresql
def test_a_pool_hands_the_same_connection_out_again() -> None:
    here = os.environ | {"LEVELPEG_POOL": "1", "DJANGO_SETTINGS_MODULE": "shared.settings"}
    done = subprocess.run(
        [sys.executable, "-c", ASKED], cwd=ROOT, env=here, capture_output=True, text=True, check=True, timeout=60
    )
    lines = done.stdout.splitlines()
    assert len(lines) == 3
    assert len(set(lines)) == 1
    assert lines[0].endswith("levelpeg runserver 1min")
