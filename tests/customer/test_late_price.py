"""What the page says a time comes to is what the Statement says, once the unit is back at that time."""

import json
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from handover.customer.late.page import price_of
from handover.customer.late.price import OF_LATENESS, comes_to
from handover.rental.models import Rental
from handover.statement.actions import draw_up
from handover.statement.inputs import pricing_document
from handover.trip.actions import ExtensionTerms, agree_extension, note_wait
from shared.access.models import Person
from tests.customer.conftest import AFTER
from tests.customer.test_late import LATE, frozen_extra, frozen_late
from tests.factories import BACK_AT, an_act
from tests.playing import come_back

pytestmark = pytest.mark.django_db
HOURS = {day: ["08:00", "18:00"] for day in ("mon", "tue", "wed", "thu", "fri", "sat")}
CLOSED = {"opening_hours": HOURS, "after_hours": "deemed_next_opening", "after_hours_fee": "25.00"}

CASES: list[tuple[timedelta, dict[str, Any], dict[str, Any], str]] = [
    (timedelta(minutes=1), {}, {}, "18.00"),
    (timedelta(hours=2), {}, {"late_minutes": "60"}, "18.00"),
    (timedelta(hours=2), {"grace_min": 30}, {}, "36.00"),
    (timedelta(minutes=30), {"grace_min": 30}, {}, "0.00"),
    (timedelta(hours=3), {}, {"late_blocks": 9}, "0.00"),
    (timedelta(hours=30), {}, {}, "218.00"),
    (timedelta(days=30), {}, {}, "3300.00"),
    (timedelta(hours=5), {"day_rule": {"from_hours": "4", "rate": "90.00"}}, {}, "90.00"),
    (timedelta(hours=2), CLOSED, {}, "36.00"),
]


def of_lateness(rental: Rental, by: Person, back_at: datetime) -> Decimal:
    come_back(rental, by, at=back_at, diesel="47.5", odometer="42018", gas_front="9.1", seal="broken")
    statement = draw_up(rental, act=an_act(by, at=back_at + timedelta(hours=1)))
    lines = json.loads(statement.result)["lines"]
    return sum((Decimal(line["amount"]) for line in lines if line["code"] in OF_LATENESS), Decimal(0))


@pytest.mark.parametrize(("later", "late", "limits", "due"), CASES)
def test_the_statement_says_the_same(
    out: Rental, callum: Person, later: timedelta, late: dict[str, Any], limits: dict[str, Any], due: str
) -> None:
    frozen_late(out, **late)
    if limits:
        frozen_extra(out, **limits)
    price = price_of(out, BACK_AT + later)
    assert price is not None
    assert (price.due, price.raw - price.covered, price.is_drop) == (Decimal(due), Decimal(due), False)
    assert of_lateness(out, callum, BACK_AT + later) == Decimal(due)


def test_an_extension_and_a_wait_on_the_branch_are_counted(out: Rental, isla: Person, callum: Person) -> None:
    """Until noon by agreement, half an hour of it waited: at 15:00 two and a half hours late, three begun."""
    frozen_late(out)
    noon = BACK_AT + timedelta(hours=1)
    terms = ExtensionTerms(0, noon, Decimal(0), "phone", agreed_at=AFTER - timedelta(days=2), confirmed=True)
    agree_extension(rental=out, terms=terms, act=an_act(isla, at=AFTER))
    wait = {"start": noon, "until": noon + timedelta(minutes=30), "cause": "no one at the gate"}
    note_wait(rental=out, act=an_act(callum, at=AFTER), **wait)
    price = price_of(out, noon + timedelta(hours=3))
    assert price is not None
    assert price.due == Decimal("54.00")
    assert of_lateness(out, callum, noon + timedelta(hours=3)) == Decimal("54.00")


def test_while_the_branch_is_closed_it_is_a_drop(out: Rental) -> None:
    """At 20:00 on a Tuesday, deemed back at 08:00: 21 hours, capped at £110, and £25 for the drop."""
    frozen_late(out, **CLOSED)
    price = price_of(out, BACK_AT + timedelta(hours=9))
    assert price is not None
    assert (price.is_drop, price.due) == (True, Decimal("135.00"))


def test_a_branch_without_hours_is_not_taken_for_closed(out: Rental) -> None:
    frozen_late(out, opening_hours={"mon": None, "tue": None}, after_hours_fee="25.00")
    price = price_of(out, BACK_AT + timedelta(hours=9))
    assert price is not None
    assert (price.is_drop, price.due) == (False, Decimal("110.00"))


def test_nothing_but_lateness_is_in_it(out: Rental) -> None:
    """Fuel, gas and a kit may come to more; the page speaks of the time alone."""
    frozen_late(out, **LATE)
    document = pricing_document(out)
    document["notices"] = [
        {"kind": "fine", "ref": "F 1", "amount": "60.00", "handling": "paid_by_operator", "at": "2026-08-15T10:00",
         "received_on": "2026-08-16", "customer_told_on": "2026-08-16"}
    ]  # fmt: skip
    price = comes_to(document, "2026-08-18T13:00+01:00")
    assert price is not None
    assert price.due == Decimal("36.00")
