"""What stays held for deferred lines: read from the settled statement, until their day has passed."""

import json
from datetime import date
from decimal import Decimal

import pytest

from handover.settlement.standing import standing
from handover.statement.models import Statement

DEFERRED = [
    {"code": "DAMAGE", "max": "200.00", "until": "2026-09-01"},
    {"code": "FINE", "max": "80.00", "until": "2026-10-01"},
]


def kept(on: date, **totals: str) -> Decimal:
    statement = Statement(
        total=Decimal("50.00"), inputs=json.dumps({"deferred": DEFERRED}), result=json.dumps({"totals": totals})
    )
    return standing([], statement, today=on).kept


@pytest.mark.parametrize(
    ("on", "expected"),
    [(date(2026, 9, 1), "280.00"), (date(2026, 9, 2), "80.00"), (date(2026, 10, 2), "0")],
)
def test_until_the_day_that_was_agreed(on: date, expected: str) -> None:
    assert kept(on, deposit_kept="280.00") == Decimal(expected)


def test_never_more_than_it_said() -> None:
    assert kept(date(2026, 9, 1), deposit_kept="120.00") == Decimal("120.00")


def test_a_reopened_version_says_only_the_difference_and_keeps_what_is_deferred() -> None:
    assert kept(date(2026, 9, 2), delta="10.00") == Decimal("80.00")


def test_without_a_settled_statement_nothing_is_kept() -> None:
    assert standing([], None, today=date(2026, 9, 1)).kept == 0
