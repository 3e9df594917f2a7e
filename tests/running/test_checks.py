"""The checks of CI that are ours: migrations without downtime, holes in libraries."""

import json
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.running.test_tasks import needs_postgresql

ROOT = Path(__file__).resolve().parents[2]
BASELINE = ROOT / ".ci" / "migrations-before-release"


def linted(folder: Path, change: str) -> "subprocess.CompletedProcess[str]":
    """The project with one migration more, in a folder of its own."""
    for path in ROOT.iterdir():
        if path.name not in {"fleet", "manage.py", ".git", "var"}:
            (folder / path.name).symlink_to(path)
    shutil.copy(ROOT / "manage.py", folder)
    shutil.copytree(ROOT / "fleet", folder / "fleet")
    (folder / "fleet" / "migrations" / "0002_a_column_more.py").write_text(MIGRATION.format(change=change))
    return subprocess.run(
        [folder / ".ci" / "migrations", sys.executable],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        timeout=110,
    )


MIGRATION = """from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("fleet", "0001_initial")]
    operations = [migrations.AddField("unit", "colour", {change})]
"""


def test_the_baseline_names_migrations_that_are_there() -> None:
    assert [line for line in BASELINE.read_text().splitlines() if not (ROOT / line).is_file()] == []


@needs_postgresql
def test_a_column_that_the_version_before_cannot_fill_is_refused(tmp_path: Path) -> None:
    done = linted(tmp_path, 'models.CharField(max_length=20, default="white")')
    assert done.returncode == 1
    assert "0002_a_column_more" in done.stdout
    assert "NOT NULL constraint" in done.stdout


@needs_postgresql
def test_a_column_that_may_stay_empty_is_no_trouble(tmp_path: Path) -> None:
    done = linted(tmp_path, "models.CharField(max_length=20, null=True)")
    assert done.returncode == 0, done.stdout + done.stderr


FINE: dict[str, Any] = {"name": "django", "version": "5.2.19", "vulns": []}
HOLE = {"name": "old", "version": "1", "vulns": [{"id": "PYSEC-2026-1", "fix_versions": ["2"]}]}
UNKNOWN = {"name": "ours", "skip_reason": "not found"}


@pytest.mark.parametrize(
    ("found", "status", "said"),
    [
        ([FINE], 0, "1 libraries of the lock, 0 known holes."),
        ([FINE, UNKNOWN], 0, "1 could not be asked about."),
        ([FINE, HOLE], 1, "old 1: PYSEC-2026-1, put right in 2."),
        ([UNKNOWN], 2, "knows none of 1 libraries."),
    ],
)
def test_the_audit_says_what_it_knows(found: list[dict[str, Any]], status: int, said: str) -> None:
    done = subprocess.run(
        [sys.executable, ".ci/audit"], input=json.dumps({"dependencies": found}), cwd=ROOT, capture_output=True,
        text=True, check=False, timeout=30,
    )  # fmt: skip
    assert (done.returncode, said in done.stdout) == (status, True)


def test_an_audit_that_was_not_answered_is_none() -> None:
    done = subprocess.run(
        [sys.executable, ".ci/audit"], input="", cwd=ROOT, capture_output=True, text=True, check=False, timeout=30
    )
    assert done.returncode == 2
    assert "does not answer here" in done.stdout
