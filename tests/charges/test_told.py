"""Statements and refusals, word for word: each label, source, measure and sentence as a person reads it."""

import pytest

from tests.charges.told import HERE, TEXTS


@pytest.mark.parametrize("name", TEXTS)
def test_the_words_are_as_they_were_read_last(name: str) -> None:
    assert TEXTS[name]().splitlines() == (HERE / name).read_text().splitlines()
