"""No page of a rental that is back says a word that is in no catalog; see test_every_word.py."""

import pytest
from django.urls import reverse

from handover.statement.models import Statement
from shared.access.models import Person
from tests.pages.test_every_word import brackets, words_left  # noqa: F401 (a fixture)


@pytest.mark.parametrize("name", ["rental", "statement", "found", "damages", "trip", "settlement", "read-again"])
def test_of_a_rental_that_is_back(name: str, priced: Statement, ruth: Person) -> None:
    left = words_left(reverse(name, args=[priced.rental_id]), ruth)
    assert not left, "\n".join(left)


def test_of_each_line(priced: Statement, ruth: Person) -> None:
    for number in range(1, 6):
        left = words_left(reverse("line", args=[priced.pk, number]), ruth)
        assert not left, f"line {number}\n" + "\n".join(left)


def test_an_address_that_is_not_there(ruth: Person) -> None:
    left = words_left("/nowhere/", ruth)
    assert not left, "\n".join(left)
