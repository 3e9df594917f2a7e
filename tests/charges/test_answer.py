"""The answer to a document from outside: JSON, or what stands in the way, each to the letter."""

import json

import pytest

from handover.charges import Problem
from handover.charges.answer import Answer, answer
from tests.charges.documents import FUEL, document, fuel_leg

PLAIN = document(rules={"fuel": FUEL}, legs=[fuel_leg(8, 4)])
WRONG = document(rules={"fuel": FUEL}, legs=[fuel_leg(9, 1)])
TOO_HIGH = "9 is above the 8 steps of this gauge, which cannot be; 0 to 8 can. Litres may have been typed; "


@pytest.mark.parametrize("written", ["", " \n\t"])
def test_nothing(written: str) -> None:
    assert answer(written) == Answer("", (Problem("", "There is nothing here; a JSON document can be."),))


def test_no_json() -> None:
    told = answer("{")
    assert (told.text, [problem.path for problem in told.problems]) == ("", [""])
    assert told.problems[0].sentence.startswith("This is not JSON (")
    assert told.problems[0].sentence.endswith(").")


def test_no_list_of_cases() -> None:
    assert answer('{"cases": 5}') == Answer("", (Problem("cases", "A list of cases in brackets is needed."),))


def test_one_case_that_cannot_be() -> None:
    problem = Problem("legs[0].fuel.out", f"{TOO_HIGH}they go into out_l.")
    assert answer(json.dumps(WRONG)) == Answer("", (problem,))


def test_every_case_that_cannot_be_is_told_by_its_number() -> None:
    told = answer(json.dumps({"cases": [PLAIN, 5, WRONG]}))
    assert told == Answer(
        "",
        (
            Problem("cases[1]", "This is the number 5; a case is an object in braces."),
            Problem("cases[2].legs[0].fuel.out", f"{TOO_HIGH}they go into out_l."),
        ),
    )


def test_a_case_under_its_name_and_one_without() -> None:
    told = answer(json.dumps({"cases": [{"id": "first", **PLAIN}, PLAIN, {**PLAIN, "id": 7}]}))
    names = [case.get("id", "-") for case in json.loads(told.text)["cases"]]
    assert (names, told.problems) == (["first", "-", "-"], ())
    assert told.text.splitlines()[:4] == ["{", '  "cases": [', "    {", '      "id": "first",']


def test_every_letter_stays_as_it_is() -> None:
    written = json.dumps({**PLAIN, "legs": [{**fuel_leg(8, 4), "unit": "Käthe"}]})
    assert '"ref": "Käthe"' in answer(written).text


def test_fractions_of_json_stay_exact() -> None:
    written = json.dumps(document(rules={"fuel": FUEL}, legs=[fuel_leg(8, "LEVEL")])).replace('"LEVEL"', "4.30")
    assert json.loads(answer(written).text)["lines"][0]["amount"] == "74.00"
