"""Receipts, waits, stops, distance for the branch, a lower excess: from the acts to the sums."""

import json
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest

from handover.acting import CannotBe
from handover.charges import parse, price
from handover.rental.models import Rental
from handover.statement.actions import draw_up
from handover.statement.inputs import pricing_document
from handover.trip.actions import (
    ReceiptSaid,
    ReductionTerms,
    RoadsideSaid,
    note_displaced,
    note_gas_receipt,
    note_roadside,
    note_wait,
    reduce_excess,
    stop_lateness,
)
from handover.trip.pricing import with_trip
from shared.access.models import Person
from tests.factories import BACK_AT, RateCardFactory, RentalFactory, an_act
from tests.playing import come_back, go
from tests.trip.conftest import DAY_3

pytestmark = pytest.mark.django_db
LATE_BY = timedelta(minutes=107)
LATER = BACK_AT + timedelta(hours=5)
RECEIPT = ReceiptSaid("receipt 1", DAY_3, Decimal("38.90"), "GBP", "Second cylinder was empty", operator_fault=True)


def full_and_late(rental: Rental, by: Person) -> None:
    come_back(rental, by, at=BACK_AT + LATE_BY, diesel="82", gas_front="11.7")


def due(rental: Rental, by: Person) -> dict[str, str]:
    result = json.loads(draw_up(rental, act=an_act(by, at=LATER)).result)
    return {line["code"]: line["amount"] for line in result["lines"]}


def bought(rental: Rental, by: Person, **changed: Any) -> Any:
    return note_gas_receipt(rental=rental, receipt=replace(RECEIPT, **changed), act=an_act(by, at=LATER))


def test_without_an_event_the_document_stays_as_it_is(out: Rental) -> None:
    document = {"rental": {"charge_days": 4}, "legs": [{"unit": "407"}], "prepaid": [], "sources": {}}
    assert with_trip(document, out) == document


def test_a_receipt_by_the_branch_s_fault_is_paid_back(out: Rental, callum: Person) -> None:
    """Two begun hours at 25.00, less 38.90."""
    bought(out, callum)
    full_and_late(out, callum)
    assert due(out, callum) == {"LATE": "50.00", "GAS_RECEIPT": "-38.90"}


def test_in_another_currency_by_the_card_s_statement(out: Rental, callum: Person) -> None:
    bought(out, callum, currency="EUR", card_amount=Decimal("33.41"))
    full_and_late(out, callum)
    assert due(out, callum)["GAS_RECEIPT"] == "-33.41"


def test_in_another_currency_at_the_day_s_rate(out: Rental, callum: Person) -> None:
    """38.90 x 0.8612 = 33.50068."""
    bought(out, callum, currency="EUR", rate=Decimal("0.8612"))
    full_and_late(out, callum)
    assert due(out, callum)["GAS_RECEIPT"] == "-33.50"


def test_not_the_branch_s_fault_is_not_paid_back(out: Rental, callum: Person) -> None:
    bought(out, callum, operator_fault=False)
    full_and_late(out, callum)
    assert "GAS_RECEIPT" not in due(out, callum)


def test_a_receipt_says_who_kept_it(out: Rental, callum: Person) -> None:
    row = bought(out, callum)
    full_and_late(out, callum)
    source = pricing_document(out)["sources"]["gas_receipts[0].amount"]
    assert (source["who"], source["instrument"], source["answer"]) == ("Callum Reid", "receipt", str(row.pk))


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"ref": ""}, "ref"),
        ({"reason": " "}, "reason"),
        ({"amount": Decimal(0)}, "amount"),
        ({"currency": "EURO"}, "amount"),
        ({"currency": "EUR"}, "card_amount"),
        ({"currency": "EUR", "rate": Decimal(0)}, "rate"),
        ({"card_amount": Decimal("1.005")}, "card_amount"),
    ],
)
def test_a_receipt_that_cannot_be(out: Rental, callum: Person, changed: dict[str, Any], field: str) -> None:
    with pytest.raises(CannotBe) as refused:
        bought(out, callum, **changed)
    assert refused.value.field == field


def test_a_receipt_is_paid_back_once(out: Rental, callum: Person) -> None:
    bought(out, callum)
    with pytest.raises(CannotBe, match="receipt 1 is already here"):
        bought(out, callum)


def test_a_wait_on_the_branch_is_not_late(out: Rental, callum: Person) -> None:
    """107 late, 50 of them waited: 57 minutes, one begun hour."""
    full_and_late(out, callum)
    start = BACK_AT + timedelta(minutes=10)
    note_wait(rental=out, start=start, until=start + timedelta(minutes=50), cause="tow", act=an_act(callum, at=LATER))
    assert due(out, callum) == {"LATE": "25.00"}


def test_a_wait_ends_after_it_begins(out: Rental, callum: Person) -> None:
    with pytest.raises(CannotBe, match="it ends after that"):
        note_wait(rental=out, start=DAY_3, until=DAY_3, cause="tow", act=an_act(callum, at=LATER))


def test_a_breakdown_report_stops_lateness(out: Rental, callum: Person) -> None:
    """Of two stops the earlier: 40 minutes late, one begun hour."""
    full_and_late(out, callum)
    for minutes in (70, 40):
        at = BACK_AT + timedelta(minutes=minutes)
        stop_lateness(rental=out, at=at, cause="breakdown_report", act=an_act(callum, at=LATER))
    assert due(out, callum) == {"LATE": "25.00"}


def test_the_next_customer_s_cost_is_charged_with_its_proof(isla: Person, callum: Person) -> None:
    late = {"grace_min": 30, "block_min": 60, "rate_per_block": "25.00", "next_booking_cost": True}
    RateCardFactory(number=8, valid_from=DAY_3.date() - timedelta(days=9), rules={"late": late})
    rental = RentalFactory()
    go(rental, isla)
    come_back(rental, callum, at=BACK_AT + LATE_BY)
    cost = Decimal("90.00")
    note_displaced(rental=rental, at=BACK_AT, cost=cost, proof="hotel invoice 12", act=an_act(callum, at=LATER))
    assert due(rental, callum) == {"LATE": "50.00", "NEXT_BOOKING": "90.00"}


def test_distance_for_the_branch_is_not_the_customer_s(out: Rental, isla: Person, callum: Person) -> None:
    """Kilometres at this branch: 12.5 and 40 driven for it."""
    for case, distance in (("RA-1", "12.5"), ("RA-2", "40")):
        call = RoadsideSaid(case, DAY_3, "workshop", "operator", Decimal(distance))
        note_roadside(rental=out, call=call, act=an_act(isla, at=LATER))
    full_and_late(out, callum)
    assert pricing_document(out)["rental"]["operator_distance"] == "52.5"


def lower(rental: Rental, by: Person, **changed: Any) -> Any:
    terms = ReductionTerms(Decimal("500.00"), Decimal("60.00"), bought_at=DAY_3, from_at=DAY_3)
    return reduce_excess(rental=rental, terms=replace(terms, **changed), act=an_act(by, at=DAY_3 + timedelta(hours=1)))


def with_two_accidents(rental: Rental) -> dict[str, str]:
    """2600.00 of damage on day 2, 900.00 on day 5."""
    document = pricing_document(rental)
    document["events"] = [
        {"id": "E1", "at": "2026-08-15T10:00", "cause": "gate", "items": [{"part": "side wall", "repair": "2600.00"}]},
        {"id": "E2", "at": "2026-08-18T09:00", "cause": "post", "items": [{"part": "bumper", "repair": "900.00"}]},
    ]
    lines = price(parse(document)).as_document()["lines"]
    return {line["ref"]: line["amount"] for line in lines if line["code"] == "DAMAGE"}  # type: ignore[index, union-attr]


def test_a_lower_excess_counts_for_the_second_accident_alone(isla: Person, callum: Person) -> None:
    """Excess 2000.00, lowered to 500.00 on day 3: 2000.00 of the first, 500.00 of the second."""
    rental = RentalFactory(excess=Decimal("2000.00"))
    go(rental, isla)
    lower(rental, isla)
    come_back(rental, callum, at=BACK_AT)
    assert list(with_two_accidents(rental).values()) == ["2000.00", "500.00"]


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"excess": Decimal("1000.00")}, "excess"),
        ({"price": Decimal("-1")}, "price"),
        ({"from_at": DAY_3 - timedelta(minutes=1)}, "from_at"),
        ({"from_at": BACK_AT}, "from_at"),
    ],
)
def test_a_reduction_that_cannot_be(out: Rental, isla: Person, changed: dict[str, Any], field: str) -> None:
    with pytest.raises(CannotBe) as refused:
        lower(out, isla, **changed)
    assert refused.value.field == field


def test_a_second_reduction_is_lower_still(out: Rental, isla: Person) -> None:
    lower(out, isla)
    with pytest.raises(CannotBe, match=r"The excess is £500.00 already"):
        lower(out, isla, excess=Decimal("600.00"))


def test_once_it_is_back_there_is_nothing_to_lower(out: Rental, isla: Person, callum: Person) -> None:
    come_back(out, callum, at=DAY_3)
    with pytest.raises(CannotBe, match="nothing is to come"):
        lower(out, isla)
