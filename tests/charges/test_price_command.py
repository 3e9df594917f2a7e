"""manage.py price: JSON on standard output, or one sentence per problem and exit code 2."""

import io
import json
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

from tests.charges.documents import FUEL, document, fuel_leg

CASES = Path(__file__).parents[1] / "reference" / "cases.json"
PLAIN = document(rules={"fuel": FUEL}, legs=[fuel_leg(8, 4)])


def run(name: str) -> tuple[int, str, str]:
    """Exit code, standard output and standard error."""
    out, err = io.StringIO(), io.StringIO()
    try:
        call_command("price", name, stdout=out, stderr=err, no_color=True)
    except SystemExit as ended:
        return int(str(ended.code)), out.getvalue(), err.getvalue()
    return 0, out.getvalue(), err.getvalue()


def written(tmp_path: Path, data: Any) -> str:
    path = tmp_path / "case.json"
    path.write_bytes(data if isinstance(data, bytes) else json.dumps(data).encode())
    return str(path)


def test_one_case(tmp_path: Path) -> None:
    code, out, err = run(written(tmp_path, {"id": "C1", **PLAIN}))
    told = json.loads(out)
    assert (code, err, told["id"]) == (0, "", "C1")
    assert told["lines"][0]["amount"] == "80.00"
    assert told["workings"][0]["steps"][-1]["kind"] == "due"


def test_a_file_of_cases() -> None:
    code, out, _ = run(str(CASES))
    told = {case["id"]: case for case in json.loads(out)["cases"]}
    expected = {case["id"]: case["expected"] for case in json.loads(CASES.read_text())["cases"]}
    assert code == 0
    assert all(told[name]["lines"] == case["lines"] for name, case in expected.items())


def test_standard_input(monkeypatch: pytest.MonkeyPatch) -> None:
    text = io.TextIOWrapper(io.BytesIO(b"\xef\xbb\xbf" + json.dumps(PLAIN).encode()))
    monkeypatch.setattr("sys.stdin", text)
    code, out, _ = run("-")
    assert (code, "id" in json.loads(out)) == (0, False)


def test_a_wrong_document_gets_a_sentence_for_each_problem(tmp_path: Path) -> None:
    code, out, err = run(written(tmp_path, {**PLAIN, "legs": [fuel_leg(9, -1)], "legz": 1}))
    assert (code, out) == (2, "")
    assert [sentence.split(":")[0] for sentence in err.splitlines()] == ["legz", "legs[0].fuel.in"]


def test_problems_of_cases_say_which(tmp_path: Path) -> None:
    code, _, err = run(written(tmp_path, {"cases": [PLAIN, 5, {**PLAIN, "legs": [fuel_leg(9, 1)]}]}))
    assert code == 2
    assert [line.split(":")[0] for line in err.splitlines()] == ["cases[1]", "cases[2].legs[0].fuel.out"]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "nothing here"),
        (b"  \n", "nothing here"),
        (b"{", "not JSON"),
        (b"\xff\xfe", "not text in UTF-8"),
        (b"[" * 100_000, "not JSON"),
        (b'{"cases": {}}', "list of cases"),
        (b"[]", "an object in braces"),
        (b'{"rental": {"deposit_held": NaN}}', "rental"),
        (b'{"rental": {"deposit_held": 1e400}}', "rental"),
    ],
)
def test_what_is_no_case(tmp_path: Path, data: bytes, words: str) -> None:
    code, out, err = run(written(tmp_path, data))
    assert (code, out) == (2, "")
    assert words in err


@pytest.mark.parametrize("name", ["/nowhere/case.json", "/"])
def test_a_file_that_cannot_be_read(name: str) -> None:
    code, _, err = run(name)
    assert (code, "cannot be read" in err) == (2, True)
