"""Statements and refusals, word for word: each label, source, measure and sentence as a person reads it."""

import pytest

from tests.charges.told import HERE, STATEMENTS, kept, refusals, statement

KEPT = kept()


@pytest.mark.parametrize("name", STATEMENTS)
def test_a_statement_reads_as_it_was_read_last(name: str) -> None:
    assert statement(name) == KEPT[name]


def test_every_statement_kept_is_told() -> None:
    assert list(KEPT) == list(STATEMENTS)


def test_refusals_read_as_they_were_read_last() -> None:
    assert refusals() == (HERE / "refusals.txt").read_text().splitlines()
