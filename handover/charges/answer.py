"""A document as text in, the answer of the price command out."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from handover.charges.document.parse import parse
from handover.charges.document.problems import DocumentError, Problem
from handover.charges.pricing import price
from shared.canonical import Json


@dataclass(frozen=True, slots=True)
class Answer:
    """The priced cases as JSON, or the problems that stand in the way; `text` is empty if there are any."""

    text: str
    problems: tuple[Problem, ...]


def answer(text: str) -> Answer:
    """Prices one case document, or every case of a file with `cases`. Numbers with a fraction are kept exactly."""
    try:
        document = json.loads(text, parse_float=Decimal)
    except (ValueError, RecursionError) as error:
        sentence = f"This is not JSON ({error})." if text.strip() else "There is nothing here; a JSON document can be."
        return Answer("", (Problem("", sentence),))
    if isinstance(document, Mapping) and "cases" in document:
        return _several(document["cases"])
    try:
        return Answer(_as_text(_priced(document)), ())
    except DocumentError as error:
        return Answer("", error.problems)


def _several(cases: object) -> Answer:
    if not isinstance(cases, list):
        return Answer("", (Problem("cases", "A list of cases in brackets is needed."),))
    problems: list[Problem] = []
    priced: list[Json] = []
    for number, document in enumerate(cases):
        try:
            priced.append(_priced(document))
        except DocumentError as error:
            problems += [_inside(f"cases[{number}]", problem) for problem in error.problems]
    return Answer("" if problems else _as_text({"cases": priced}), tuple(problems))


def _inside(path: str, problem: Problem) -> Problem:
    return Problem(f"{path}.{problem.path}" if problem.path else path, problem.sentence)


def _priced(document: object) -> dict[str, Json]:
    priced = price(parse(document)).as_document()
    name = document.get("id") if isinstance(document, Mapping) else None
    return {"id": name, **priced} if isinstance(name, str) else priced


def _as_text(value: Json) -> str:
    return json.dumps(value, ensure_ascii=False, indent=2)
