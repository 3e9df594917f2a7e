"""A card as cells and back loses nothing."""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handover.ratecard.flat import cells_of, rules_of
from handover.ratecard.paths import join, split
from tests.ratecard.conftest import FULL

DEMO = json.loads((Path(__file__).parents[2] / "handover/demo/rate_cards.json").read_text(encoding="utf-8"))
CARDS = [row["rules"] for rows in DEMO.values() for row in rows] + [FULL]


@pytest.mark.parametrize("rules", CARDS)
def test_there_and_back(rules: dict[str, Any]) -> None:
    cells = cells_of(rules)
    built = rules_of(cells)
    assert built.problems == []
    assert cells_of(built.rules) == cells


def test_there_and_back_is_the_same_value() -> None:
    """Numbers of the full card are text but for the late rule's, which become text."""
    late = {key: str(value) for key, value in FULL["late"].items()}
    assert rules_of(cells_of(FULL)).rules == FULL | {"late": late}


def test_the_order_is_not_that_of_the_database() -> None:
    items = dict(reversed(FULL["kits"]["first_aid"]["items"].items()))
    turned = FULL | {"kits": {"first_aid": FULL["kits"]["first_aid"] | {"items": items}}}
    assert list(cells_of(turned)) == list(cells_of(FULL))


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("fuel.price_per_litre", "1.62"),
        ("damage.matrix.bumper.scuff.150", "180.00"),
        ("damage.matrix.bumper.scuff.beyond", "350.00"),
        ("damage.excluded", "roof\nwrong fuel"),
        ("damage.options.1.own_excess.tyres", "200.00"),
        ("distance.included_per_day", "none"),
        ("distance.pooled", "yes"),
        ("kits.first_aid.items.bandage 2\\.5 m", "4.50"),
    ],
)
def test_where_a_value_stands(path: str, value: str) -> None:
    assert cells_of(FULL)[path] == value


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("fuel.price_per_liter", "fuel.price_per_litre may be meant"),
        ("fuel", "says nothing at this path"),
        ("fuel.price_per_litre.x", "fuel.price_per_litre may be meant"),
        ("damage.matrix.bumper.150", "says nothing"),
        ("damage.options.first.excess", "says nothing"),
        ("late.opening_hours.mon", "says nothing"),
        ("fuel..price", "says nothing"),
    ],
)
def test_a_path_that_leads_nowhere(path: str, words: str) -> None:
    (problem,) = rules_of({path: "1.62"}).problems
    assert problem.path == path
    assert words in problem.sentence


def test_an_empty_value_is_no_value() -> None:
    assert rules_of({"fuel.price_per_litre": " "}).rules == {}


def test_steps_come_in_order_of_size_whatever_the_order_of_the_cells() -> None:
    cells = {f"damage.matrix.door.dent.{limit}": limit for limit in ("beyond", "1000", "x", "80")}
    steps = rules_of(cells).rules["damage"]["matrix"]["door"]["dent"]
    assert [step["price"] for step in steps] == ["80", "1000", "x", "beyond"]


def test_options_come_in_order_of_their_numbers() -> None:
    cells = {f"damage.options.{number}.excess": str(number) for number in (10, 2, 1)}
    assert [row["excess"] for row in rules_of(cells).rules["damage"]["options"]] == ["1", "2", "10"]


def test_a_choice_that_is_called_none_stays_a_word() -> None:
    assert rules_of({"gas.receipts": "none"}).rules == {"gas": {"receipts": "none"}}


@given(st.lists(st.text(min_size=1), min_size=1))
def test_any_names_make_a_path_and_come_back(names: list[str]) -> None:
    assert split(join(names)) == names


@pytest.mark.parametrize("text", ["", ".", "a.", ".a", "a..b", "a\\"])
def test_no_path(text: str) -> None:
    assert split(text) == []
