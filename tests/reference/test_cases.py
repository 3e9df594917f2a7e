"""The worked cases of the trade: every line with its tax, every total and every derived value, to the cent."""

import json
from pathlib import Path
from typing import Any

import pytest

from handover.charges import parse, price

CASES = json.loads((Path(__file__).parent / "cases.json").read_text())["cases"]

pytestmark = [pytest.mark.reference, pytest.mark.source("Worked cases of the trade, reckoned by hand")]


@pytest.mark.parametrize("case", CASES, ids=[case["id"] for case in CASES])
def test_case_comes_out_exactly(case: dict[str, Any]) -> None:
    answer = price(parse(case)).as_document()
    expected = case["expected"]
    assert answer["lines"] == expected["lines"]
    assert answer["totals"] == expected["totals"]
    assert answer["derived"] == expected["derived"]


def test_every_worked_case_is_here() -> None:
    assert len(CASES) == 24
