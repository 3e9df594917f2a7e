"""The self-assessment holds together: every requirement of levels 1 and 2 once, and each test it names is there.

Source: OWASP Application Security Verification Standard 5.0.0, English CSV of its repository; the words are our own.
"""

import ast
import csv
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest

HERE = Path(__file__).parent
ROOT = HERE.parents[2]
TEST = re.compile(r"(tests/[\w/]+\.py)(?:::([\w:]+))?")
FILE = re.compile(
    r"(?<!/)\b((?:shared|fleet|consumables|handover|static|README|DEVELOPERS|pyproject|requirements)[\w/.]*\.\w+)"
)
# How many of levels 1 and 2 each chapter has, counted in the standard's own table: 70 of level 1 and 183 of level 2.
CHAPTERS = {
    1: 27, 2: 11, 3: 19, 4: 10, 5: 9, 6: 35, 7: 18, 8: 7, 9: 7, 10: 29, 11: 14, 12: 9, 13: 13, 14: 9, 15: 13, 16: 16,
    17: 7,
}  # fmt: skip
TITLES = (
    "Encoding", "Validation and business logic", "Web frontend", "API", "Files", "Authentication", "Sessions",
    "Authorisation", "Self-contained tokens", "OAuth and OIDC", "Cryptography", "Secure communication",
    "Configuration", "Data protection", "Secure coding", "Logging and errors", "WebRTC",
)  # fmt: skip


class Line(NamedTuple):
    id: str
    level: int
    state: str
    asks: str
    shown: str

    @property
    def chapter(self) -> int:
        return int(self.id[1:].partition(".")[0])


def lines() -> list[Line]:
    with (HERE / "asvs.csv").open(newline="") as file:
        rows = list(csv.reader(file, delimiter="|", quoting=csv.QUOTE_NONE))[1:]
    return [Line(number, int(level), state, asks, shown) for number, level, state, asks, shown in rows]


LINES = lines()
NAMED = sorted({(path, name) for line in LINES for path, name in TEST.findall(line.shown)})


def functions(path: Path) -> Iterator[str]:
    for node in ast.parse(path.read_text()).body:
        if isinstance(node, ast.ClassDef):
            yield from (f"{node.name}::{one.name}" for one in node.body if isinstance(one, ast.FunctionDef))
        if isinstance(node, ast.FunctionDef):
            yield node.name


@pytest.mark.reference
@pytest.mark.source("OWASP ASVS 5.0.0")
def test_every_requirement_stands_once() -> None:
    assert len({line.id for line in LINES}) == len(LINES) == 253
    assert Counter(line.chapter for line in LINES) == CHAPTERS
    assert Counter(line.level for line in LINES) == {1: 70, 2: 183}


@pytest.mark.reference
@pytest.mark.source("OWASP ASVS 5.0.0")
def test_each_has_a_state_and_a_reason() -> None:
    assert {line.state for line in LINES} == {"met", "n/a", "not met"}
    assert [line.id for line in LINES if not line.asks or not line.shown] == []


@pytest.mark.parametrize(("path", "name"), NAMED)
def test_each_test_that_is_named_is_there(path: str, name: str) -> None:
    assert (ROOT / path).is_file()
    assert not name or name in set(functions(ROOT / path))


def test_each_file_that_is_named_is_there() -> None:
    named = {file for line in LINES for file in FILE.findall(line.shown)}
    assert [file for file in named if not (ROOT / file).exists()] == []


def table() -> list[str]:
    """As it stands in DEVELOPERS.md: a row a chapter."""
    rows = []
    for chapter, title in enumerate(TITLES, 1):
        states = Counter(line.state for line in LINES if line.chapter == chapter)
        files = Counter(path for line in LINES if line.chapter == chapter for path, _ in TEST.findall(line.shown))
        shown = ", ".join(f"`{path.removeprefix('tests/')}`" for path, _ in files.most_common(2))
        rows.append(f"| V{chapter} {title} | {states['met']} | {states['n/a']} | {states['not met']} | {shown} |")
    total = Counter(line.state for line in LINES)
    return [*rows, f"| all 253 | {total['met']} | {total['n/a']} | {total['not met']} | |"]


def test_the_developers_page_says_the_same() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text()
    assert [row for row in table() if row not in text] == []
