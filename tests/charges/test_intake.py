"""A record reads itself out of a document: its keys, its defaults, what stands there besides."""
# ruff: noqa: RUF009 (key() makes a dataclass field, with its default)

from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from handover.charges.document.intake import (
    Impossible,
    Intake,
    Record,
    RefusedError,
    join,
    key,
    read_key,
    record,
    slots_of,
    spoken,
)
from handover.charges.document.kinds import list_of, text, whole


def chair() -> Any:
    """A record with a key that has to be there, and others that need not."""

    @dataclass(frozen=True, kw_only=True)
    class Chair(Record):
        path: str
        legs: int = key(whole())
        colour: str = key(text, "grey")
        maker: str | None = key(text, None, name="made_by")
        prices: dict[str, int] = key(text, {"new": 45})
        marks: tuple[str, ...] = key(list_of(text), ())

        def impossible(self) -> Impossible:
            if self.legs == 1:
                yield "legs", "One leg falls over."

    return Chair


def sit(document: object, ignored: frozenset[str] = frozenset(), path: str = "chair") -> tuple[Any, list[str]]:
    """What was read, and the problems."""
    intake = Intake(ZoneInfo("UTC"), [])
    _, made = read_key(record(chair(), ignored=ignored), document, path, intake)
    return made, [str(problem) for problem in intake.problems]


def test_what_is_stated_and_what_is_not() -> None:
    made, problems = sit({"legs": 4, "made_by": "Orla"})
    assert problems == []
    told = (made.path, made.legs, made.colour, made.maker, made.prices, made.marks)
    assert told == ("chair", 4, "grey", "Orla", {"new": 45}, ())


def test_null_only_where_nothing_is_the_default() -> None:
    assert sit({"legs": 4, "made_by": None})[0].maker is None
    assert sit({"legs": 4, "colour": None})[1] == ["chair.colour: This is null; words in quotation marks are needed."]
    assert sit({"legs": None})[1] == ['chair.legs: This is null; a decimal string such as "12.50" is needed.']


def test_what_is_wrong_inside_is_told_where_it_stands() -> None:
    kind = key(list_of(text), None).metadata["kind"]
    intake = Intake(ZoneInfo("UTC"), [])
    assert read_key(kind, [5], "chair.notes", intake) == (False, None)
    assert [problem.path for problem in intake.problems] == ["chair.notes[0]"]


def test_a_key_that_has_to_be_there() -> None:
    assert sit({}) == (None, ["chair.legs: This key is missing; it has to be there."])
    assert sit({}, path="")[1] == ["legs: This key is missing; it has to be there."]


def test_the_nearest_known_key() -> None:
    assert sit({"legs": 4, "color": "red"})[1] == [
        "chair.color: This key is not known here; the nearest known key is colour."
    ]
    assert sit({"legs": 4, "maker": "Orla"}, path="")[1][0].startswith("maker: This key is not known here; ")


def test_no_key_near() -> None:
    known = "known keys are legs, colour, made_by, prices, marks, title."
    problems = sit({"legs": 4, "zzz": 1}, frozenset({"title"}))[1]
    assert problems == [f"chair.zzz: This key is not known here; {known}"]


def test_a_key_half_as_near_is_near_enough() -> None:
    assert sit({"legs": 4, "maerks": []})[1][0].endswith("the nearest known key is marks.")
    assert sit({"legs": 4, "ls": []})[1][0].endswith("the nearest known key is legs.")
    assert sit({"legs": 4, "mkzzz": []})[1][0].endswith("known keys are legs, colour, made_by, prices, marks.")


def test_words_beside_it_are_ignored() -> None:
    assert sit({"legs": 4, "title": 7}, frozenset({"title"}))[1] == []


def test_every_problem_of_a_record_is_told() -> None:
    assert sit({"legs": -1, "colour": 5, "x": 1})[1] == [
        "chair.x: This key is not known here; known keys are legs, colour, made_by, prices, marks.",
        "chair.legs: -1 is below 0, which cannot be; 0 or more can.",
        "chair.colour: This is the number 5; words in quotation marks are needed.",
    ]


def test_what_cannot_be_together_is_told_of_what_was_read() -> None:
    made, problems = sit({"legs": 1})
    assert (made.legs, problems) == (1, ["chair.legs: One leg falls over."])


def test_what_is_no_object() -> None:
    assert sit([]) == (None, ["chair: This is a list; an object in braces is needed here."])


def test_the_keys_of_a_record() -> None:
    slots = slots_of(chair())
    assert {name: (slot.attribute, slot.required) for name, slot in slots.items()} == {
        "legs": ("legs", True),
        "colour": ("colour", False),
        "made_by": ("maker", False),
        "prices": ("prices", False),
        "marks": ("marks", False),
    }


def test_a_record_can_be_by_itself() -> None:
    assert list(Record().impossible()) == []


def test_where_a_key_stands() -> None:
    assert join("legs[0]", "fuel") == "legs[0].fuel"
    assert join("", "legs") == "legs"


def test_a_refusal_is_noted_once() -> None:
    def silent(value: object, path: str, intake: Intake) -> None:
        raise RefusedError

    def loud(value: object, path: str, intake: Intake) -> None:
        raise RefusedError("No.")

    intake = Intake(ZoneInfo("UTC"), [])
    assert read_key(silent, 1, "a", intake) == (False, None)
    assert read_key(loud, 1, "b", intake) == (False, None)
    assert [str(problem) for problem in intake.problems] == ["b: No."]


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (None, "null"),
        (True, "true"),
        (False, "false"),
        ({"a": 1}, "an object"),
        ([1], "a list"),
        ((1,), "a list"),
        ("gate", '"gate"'),
        (5, "the number 5"),
    ],
)
def test_a_value_in_the_words_of_json(value: object, said: str) -> None:
    assert spoken(value) == said
