"""What is still to do: pure, with holds, lapses, deferred lines and later versions."""

from datetime import date
from decimal import Decimal
from uuid import UUID

import pytest

from handover.settlement.plan import Hold, Standing, Step, Todo, steps

TODAY = date(2026, 8, 18)
A, B = UUID(int=1), UUID(int=2)


def standing(
    total: str | None, *holds: Hold, received: str = "0", kept: str = "0"
) -> Standing:  # fmt: skip
    return Standing(None if total is None else Decimal(total), Decimal(received), holds, Decimal(kept), TODAY)


def hold(left: str, of: UUID = A, expires_on: date | None = None) -> Hold:
    return Hold(of, Decimal(left), expires_on)


def todo(stands: Standing) -> list[tuple[Todo, Decimal]]:
    return [(step.todo, step.amount) for step in steps(stands)]


@pytest.mark.parametrize(
    ("stands", "expected"),
    [
        (standing("0", hold("500")), [("release", "500")]),
        (standing("121.67", hold("500")), [("capture", "121.67"), ("release", "378.33")]),
        (standing("500", hold("500")), [("capture", "500")]),
        (standing("802.50", hold("500")), [("capture", "500"), ("pay", "302.50")]),
        (standing("-20", hold("500")), [("refund", "20"), ("release", "500")]),
        (standing("121.67", received="121.67"), []),
        (standing("100", received="121.67"), [("refund", "21.67")]),
        (standing("150", hold("378.33"), received="121.67"), [("capture", "28.33"), ("release", "350.00")]),
        (standing("150", received="121.67"), [("pay", "28.33")]),
        (standing("100", hold("500"), kept="250"), [("capture", "100"), ("release", "150")]),
        (standing("400", hold("500"), kept="250"), [("capture", "400")]),
        (standing(None, hold("500")), []),
    ],
)
def test_the_rest_of_the_statement(stands: Standing, expected: list[tuple[str, str]]) -> None:
    assert todo(stands) == [(Todo(name), Decimal(amount)) for name, amount in expected]


def test_what_lapses_first_is_captured_first() -> None:
    early, late = hold("100", A, date(2026, 8, 20)), hold("300", B, date(2026, 9, 20))
    assert steps(standing("150", late, early)) == [
        Step(Todo.CAPTURE, Decimal("100"), A),
        Step(Todo.CAPTURE, Decimal("50"), B),
        Step(Todo.RELEASE, Decimal("250"), B),
    ]


def test_what_is_kept_stays_where_it_lasts_longest() -> None:
    early, late = hold("100", A, date(2026, 8, 20)), hold("300", B, date(2026, 9, 20))
    assert steps(standing("0", early, late, kept="250")) == [
        Step(Todo.RELEASE, Decimal("100"), A),
        Step(Todo.RELEASE, Decimal("50"), B),
    ]


def test_a_lapsed_hold_pays_nothing_and_is_noted_as_gone() -> None:
    gone = hold("500", A, date(2026, 8, 17))
    assert steps(standing("121.67", gone)) == [
        Step(Todo.PAY, Decimal("121.67")),
        Step(Todo.RELEASE, Decimal("500"), A, lapsed=True),
    ]


def test_on_its_last_day_it_can_be_captured() -> None:
    assert todo(standing("500", hold("500", A, TODAY))) == [(Todo.CAPTURE, Decimal("500"))]
