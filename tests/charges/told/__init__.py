"""Statements and refusals as text, word for word, kept beside the tests so that a change of words is read as one.

`python -m tests.charges.told` writes the texts again; what changed is then reviewed like any other change.
"""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from handover.charges import DocumentError, parse, price
from tests.charges.documents import document
from tests.charges.everything import EVERYTHING
from tests.charges.rare import RARE_CASES
from tests.charges.test_documents_refused import DESK, READINGS, RULES, TIMES, WHOLE
from tests.reference.test_cases import CASES

HERE = Path(__file__).parent


def told(case: Mapping[str, Any]) -> list[str]:
    """One text for each line with its workings, then what was found, lapsed, summed and derived."""
    answer: Any = price(parse(case)).as_document()
    texts = ["\n".join(_line(*both)) for both in zip(answer["lines"], answer["workings"], strict=True)]
    texts += ["finding {code} {ref}, {reason}: {sentence}".format(**one) for one in answer["findings"]]
    texts += ["lapsed {code} {ref}: {sentence}".format(**one) for one in answer["lapsed"]]
    return texts + [f"{name} {value}" for part in ("totals", "derived") for name, value in answer[part].items()]


def _line(line: Mapping[str, Any], worked: Mapping[str, Any]) -> Iterator[str]:
    assert (line["code"], line["ref"]) == (worked["code"], worked["ref"])
    yield "{code} {ref}: {raw} less {covered} is {amount}, {tax_code} {tax}; {measure}".format(**{**worked, **line})
    for step in worked["steps"]:
        yield "    {sign} {quantity} {unit} | {label} | {source} | {kind}".format(**step)
    for part in worked["cover"]:
        yield "    {name} pays {amount} | {label} | {source}".format(**part)


PLAIN = told(EVERYTHING[0])
STATEMENTS = {case["id"]: case for case in [*EVERYTHING, *CASES, *RARE_CASES]}


def statement(name: str) -> list[str]:
    """The long statement in full; of each other one only what the long one does not say."""
    texts = told(STATEMENTS[name])
    said = texts if name == EVERYTHING[0]["id"] else [text for text in texts if text not in PLAIN]
    return "\n".join(said).splitlines()


def refusals() -> list[str]:
    """Every problem of every document that cannot be."""
    tables = [*READINGS, *TIMES, *RULES, *DESK, *WHOLE]
    return [line for parts, _, _ in tables for line in refused(parts)]


def refused(parts: Mapping[str, Any]) -> list[str]:
    try:
        parse(document(**parts))
    except DocumentError as error:
        return [str(problem).split(": day ")[0] for problem in error.problems]  # the calendar's own words vary
    raise AssertionError(parts)


def kept() -> dict[str, list[str]]:
    """The lines of each statement as they were read last, by its name."""
    parts = (HERE / "statements.txt").read_text().removeprefix("== ").split("\n== ")
    return {name: lines for name, *lines in (part.strip("\n").splitlines() for part in parts)}
