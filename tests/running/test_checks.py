"""The checks of CI that are ours: migrations without downtime, holes in libraries."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.running.test_tasks import needs_postgresql

ROOT = Path(__file__).resolve().parents[2]
BASELINE = ROOT / ".ci" / "migrations-before-release"


def linted(baseline: Path) -> "subprocess.CompletedProcess[str]":
    command = [".ci/migrations", sys.executable, str(baseline)]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False, timeout=110)


def without(tmp_path: Path, name: str) -> Path:
    lines = [line for line in BASELINE.read_text().splitlines() if name not in line]
    assert len(lines) < len(BASELINE.read_text().splitlines())
    (tmp_path / "baseline").write_text("\n".join(lines) + "\n")
    return tmp_path / "baseline"


def test_the_baseline_names_migrations_that_are_there() -> None:
    assert [line for line in BASELINE.read_text().splitlines() if not (ROOT / line).is_file()] == []


@needs_postgresql
def test_a_column_that_the_version_before_cannot_fill_is_refused(tmp_path: Path) -> None:
    done = linted(without(tmp_path, "0007_country_of_a_branch"))
    assert done.returncode == 1
    assert "0007_country_of_a_branch" in done.stdout
    assert "NOT NULL constraint" in done.stdout


@needs_postgresql
def test_a_new_table_is_no_trouble(tmp_path: Path) -> None:
    done = linted(without(tmp_path, "shared/migrations/0007_marks"))
    assert done.returncode == 0, done.stdout


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
