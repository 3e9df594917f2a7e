"""How many statements of ten lines one core prices in a second."""

import json
from copy import deepcopy
from pathlib import Path
from typing import Any

from handover.charges import parse, price
from tests.bench.pairing import alternating, say

COUNT = 400
CASES = Path(__file__).parent.parent / "reference" / "cases.json"


def ten_lines() -> dict[str, Any]:
    """Worked cases put together until there are ten lines: two legs, gas, a kit, late, a damage with its fee."""
    cases = {case["id"]: case for case in json.loads(CASES.read_text())["cases"]}
    document = deepcopy(cases["C08"])
    for name in ("C13", "C17", "C22", "C33"):
        document["rules"] |= cases[name]["rules"]
        document |= {key: cases[name][key] for key in ("kits", "events") if key in cases[name]}
    document["legs"][0]["gas"] = cases["C13"]["legs"][0]["gas"]
    document["events"] = [document["events"][0] | {"items": document["events"][0]["items"][:1]}]
    document["rental"]["returned_at"] = cases["C22"]["rental"]["returned_at"]
    return document


def run() -> None:
    document = ten_lines()
    case = parse(document)
    lines = len(price(case).as_document()["lines"])
    priced, parsed = alternating(
        lambda: [price(case) for _ in range(COUNT)],
        lambda: [price(parse(document)).as_document() for _ in range(COUNT)],
        rounds=3,
    )
    say(f"statements of {lines} lines priced", f"{COUNT / priced:,.0f} /s a core", "goal 2,000 or more")
    say("the same with reading and writing JSON", f"{COUNT / parsed:,.0f} /s a core")
