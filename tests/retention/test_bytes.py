"""After erasing, nothing of the person is in any byte of the database file, of the files, of the mail folder."""

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.retention.playing import NEEDLES

ROOT = Path(__file__).parents[2]


def run(folder: Path, *words: str) -> str:
    said = {"LEVELPEG_VAR": str(folder), "DJANGO_SETTINGS_MODULE": "shared.settings", "PYTHONPATH": str(ROOT)}
    kept = {name: value for name, value in os.environ.items() if name not in {"DATABASE_URL", "TASKS"}}
    done = subprocess.run(
        [sys.executable, *words], cwd=ROOT, env=kept | said, capture_output=True, text=True, timeout=500, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def found_in(folder: Path) -> set[str]:
    """Which of the needles is in which kind of file; a PDF is looked at as text and with what is attached, too.

    In small letters, as the search keeps texts.
    """
    return {
        f"{name} in {path.suffix or path.name}"
        for path in folder.rglob("*") if path.is_file()
        for data in map(bytes.lower, said_by(path))
        for name, needle in NEEDLES.items() if needle.lower() in data
    }  # fmt: skip


def said_by(path: Path) -> Iterator[bytes]:
    yield path.read_bytes()
    if path.suffix == ".pdf":
        yield subprocess.run(["pdftotext", str(path), "-"], capture_output=True, check=True, timeout=60).stdout
        yield subprocess.run(
            ["pdfdetach", "-save", "1", "-o", "/dev/stdout", str(path)], capture_output=True, check=True, timeout=60
        ).stdout


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database file with its log, evidence and mail: one rental, settled, its Records made and sealed."""
    made = tmp_path_factory.mktemp("var")
    run(made, "-m", "tests.retention.on_a_file", "play")
    return made


def test_nothing_of_the_person_is_left(folder: Path) -> None:
    before = found_in(folder)
    assert {f"{name} in .sqlite3" for name in NEEDLES} <= before
    assert {"name in .pdf", "remark in .pdf", "e-mail in .log"} <= before
    pictures = len(list(folder.rglob("*.jpg")))

    run(folder, "-m", "tests.retention.on_a_file", "erase")

    assert found_in(folder) == set()
    assert not list(folder.rglob("*.pdf"))
    # One of three photos is of the Mark and shows the vehicle: it stays to its own day.
    assert len(list(folder.rglob("*.jpg"))) == pictures // 3 > 0
    said = run(folder, "-m", "tests.retention.on_a_file", "check")
    assert "The ledger holds" in said
    assert "0 differences: 2 statements" in said
    assert "\n0 values, rows and files erased; 0 held back; 0 rentals" in said
