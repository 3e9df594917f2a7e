"""A whole statement: the order of the rules, its JSON, its bytes."""

import json
from typing import Any

import pytest

from handover.charges import RULES, RULES_VERSION, parse, price
from tests.charges.documents import document, fuel_leg
from tests.charges.everything import EVERYTHING, PARTS

CODES = [
    "FUEL", "FUEL_SERVICE", "AUS32", "GAS", "CYLINDER", "GAS_SERVICE", "CLEANING", "WASTE_TANK", "TOILET",
    "RUBBISH", "SAFETY_KIT", "EQUIPMENT", "LABOUR", "LOCK_CHANGE", "LATE", "NEXT_BOOKING", "AFTER_HOURS",
    "DISTANCE", "DAMAGE", "LOSS_OF_USE", "ADMIN", "FINE", "FINE_ADMIN", "TOLL", "TOLL_ADMIN", "MANUAL",
    "CYLINDER_CREDIT", "EQUIPMENT_CREDIT", "RECOVERY", "PREPAID_REFUND", "GOODWILL", "GAS_RECEIPT", "WAIVER",
]  # fmt: skip


def test_every_rule_writes_its_lines_in_order() -> None:
    lines = price(parse(EVERYTHING[0])).lines
    assert list(dict.fromkeys(line.code for line in lines)) == CODES


def test_the_order_of_application_is_visible() -> None:
    names = [rule.__name__ for rule in RULES]
    assert names.index("cover") < names.index("damage") < names.index("notices") < names.index("credits_")
    assert names[-2:] == ["waivers", "set_off_surplus"]


@pytest.mark.parametrize("case", EVERYTHING, ids=[case["id"] for case in EVERYTHING])
def test_the_same_bytes_every_time(case: dict[str, Any]) -> None:
    first, again = price(parse(case)), price(parse(json.loads(json.dumps(case))))
    assert first.as_bytes() == again.as_bytes()


def test_keys_in_another_order_are_the_same_document() -> None:
    case = document(**PARTS)
    turned = {key: case[key] for key in reversed(case)}
    assert price(parse(case)).as_bytes() == price(parse(turned)).as_bytes()


def test_the_document_of_a_statement() -> None:
    answer = price(parse(EVERYTHING[0])).as_document()
    assert list(answer) == ["lines", "totals", "derived", "workings", "findings", "lapsed", "rules_version"]
    assert answer["rules_version"] == RULES_VERSION
    assert len(answer["workings"]) == len(answer["lines"])
    assert json.loads(json.dumps(answer)) == answer


def test_a_line_names_the_extra_and_how_much_it_paid() -> None:
    answer = price(parse(EVERYTHING[0])).as_document()
    covered = {part["name"]: part["amount"] for line in answer["workings"] for part in line["cover"]}
    assert covered["an hour"] == "25.00"
    assert covered["clean"] == "60.00"


def test_evidence_is_carried_and_never_counted() -> None:
    sources = {"legs[0].fuel.out": {"who": "Isla M.", "photos": ["a"]}}
    case = document(legs=[fuel_leg(8, 4)], rules={"fuel": {"price_per_litre": "2.00"}})
    with_sources = parse({**case, "sources": sources})
    assert with_sources.sources == sources
    assert price(with_sources).as_bytes() == price(parse(case)).as_bytes()


def test_words_about_a_case_are_ignored() -> None:
    case = {**document(), "id": "X", "title": "t", "tests": [], "why": "w", "arithmetic": [], "expected": {}}
    assert price(parse(case)).lines == ()
