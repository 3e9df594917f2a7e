"""A card is read as pricing reads it, and each problem stands at its field."""

import pytest

from fleet.models import Branch
from handover.ratecard.checking import check_cells
from handover.ratecard.flat import cells_of
from tests.factories import OpeningHoursFactory
from tests.ratecard.conftest import FULL

pytestmark = pytest.mark.django_db


def told(branch: Branch, changes: dict[str, str] | None = None) -> dict[str, str]:
    checked = check_cells(cells_of(FULL) | (changes or {}), branch)
    return {one.path: one.sentence for one in checked.problems}


def test_the_full_card_can_be_priced_by(inverlark: Branch) -> None:
    assert told(inverlark) == {}


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        ("fuel.price_per_litre", "1,62", "is not a plain number"),
        ("fuel.price_per_litre", "-1", "is below 0"),
        ("fuel.policy", "half", "none of the choices here"),
        ("late.grace_min", "half an hour", "is not a plain number"),
        ("distance.tiers.300", "x", "is not a plain number"),
        ("distance.pooled", "maybe", "only true or false"),
        ("damage.matrix.bumper.scuff.150", "abc", "is not a plain number"),
        ("damage.matrix.bumper.scuff.wide", "10", "is not a plain number"),
        ("damage.options.1.from", "tomorrow", "is not a local time"),
        ("kits.first_aid.items.burn dressing", "-2", "is below 0"),
        ("equipment.prices.straps", "nine", "is not a plain number"),
        ("waivers.limits.host", "-5", "is below 0"),
        ("admin.per_fine", "30.005", "GBP has 2 decimals"),
        ("cleaning.cabin.standard", "30", "none of the choices here"),
    ],
)
def test_a_problem_stands_at_its_cell(inverlark: Branch, path: str, value: str, words: str) -> None:
    problems = told(inverlark, {path: value})
    assert list(problems) == [path] or path.startswith("cleaning.cabin")
    assert any(words in sentence for sentence in problems.values())


def test_a_price_a_litre_may_have_more_decimals(inverlark: Branch) -> None:
    assert told(inverlark, {"fuel.price_per_litre": "1.629"}) == {}


def test_what_has_to_be_there_has_its_own_place(inverlark: Branch) -> None:
    problems = check_cells({"distance.unit": "mi"}, inverlark).problems
    assert [one.path for one in problems] == ["distance.included_per_day", "distance.tiers"]
    assert {one.sentence for one in problems} == {"This has to be stated."}


def test_what_cannot_stand_together_is_told_where_it_can_be_mended(inverlark: Branch) -> None:
    problems = told(inverlark, {"fuel.pump_price_per_litre": "1.50"})
    assert list(problems) == ["fuel.price_per_litre"]


def test_every_problem_is_told_at_once(inverlark: Branch) -> None:
    assert len(told(inverlark, {"fuel.service_fee": "x", "gas.price_per_kg": "y", "waste.grey_fee": "z"})) == 3


def test_the_opening_hours_are_the_branchs(inverlark: Branch) -> None:
    deemed = {"late.after_hours": "deemed_next_opening"}
    assert "opening hours" in " ".join(told(inverlark, deemed).values())
    OpeningHoursFactory(branch=inverlark)
    assert told(inverlark, deemed) == {}
