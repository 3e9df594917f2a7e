"""What holds for each act on a trip: its right, its branch, its replay, its place in the ledger."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.http import Http404

from fleet.models import Unit
from handover.acting import Act, CannotBe
from handover.rental.models import Rental
from handover.trip import actions as trip
from shared.access.models import Person
from shared.access.scope import NotAllowed
from shared.ledger.models import Entry
from tests.factories import BACK_AT, NINE, PersonFactory, RentalFactory, an_act
from tests.trip.conftest import DAY_3

pytestmark = pytest.mark.django_db


@dataclass(frozen=True)
class Deed:
    """One act with good values: what it writes to the ledger, and a role that may not do it."""

    kind: str
    not_for: str
    do: Callable[[Rental, Act], Any]

    def __str__(self) -> str:
        return self.kind


def extend(rental: Rental, act: Act) -> Any:
    terms = trip.ExtensionTerms(2, BACK_AT + timedelta(2), Decimal("118.00"), "phone", DAY_3, confirmed=True)
    return trip.agree_extension(rental=rental, terms=terms, act=act)


def swap(rental: Rental, act: Act) -> Any:
    plan = trip.SwapPlan(Unit.objects.get(number="118"), "operator", "Engine will not start", "Glen Ure", DAY_3)
    return trip.begin_swap(rental=rental, plan=plan, act=act)


def receipt(rental: Rental, act: Act) -> Any:
    said = trip.ReceiptSaid("receipt 1", DAY_3, Decimal("38.90"), "GBP", "Second cylinder was empty", True)
    return trip.note_gas_receipt(rental=rental, receipt=said, act=act)


def fault(rental: Rental, act: Act) -> Any:
    said = trip.FaultSaid(DAY_3, "engine", "Maren says it clicks", False, "Wait for assistance", "Glen Ure", 41500)
    return trip.note_fault(rental=rental, fault=said, act=act)


def roadside(rental: Rental, act: Act) -> Any:
    said = trip.RoadsideSaid("RA-77", DAY_3, "dead cell in the battery", "operator", Decimal("12.5"))
    return trip.note_roadside(rental=rental, call=said, act=act)


def wait(rental: Rental, act: Act) -> Any:
    return trip.note_wait(rental=rental, start=DAY_3 - timedelta(hours=2), until=DAY_3, cause="tow", act=act)


def stop(rental: Rental, act: Act) -> Any:
    return trip.stop_lateness(rental=rental, at=DAY_3, cause="breakdown_report", act=act)


def displaced(rental: Rental, act: Act) -> Any:
    return trip.note_displaced(rental=rental, at=DAY_3, cost=Decimal("90.00"), proof="hotel invoice 12", act=act)


def lower(rental: Rental, act: Act) -> Any:
    terms = trip.ReductionTerms(Decimal("500.00"), Decimal("60.00"), DAY_3, DAY_3)
    return trip.reduce_excess(rental=rental, terms=terms, act=act)


def fined(rental: Rental, act: Act) -> Any:
    said = trip.NoticeSaid(
        "fine", "PCN 4711", "Glen Council", Decimal("60.00"), "LRK 407", DAY_3, "Europe/London", "paid_by_operator",
        received_on=date(2026, 8, 16),
    )  # fmt: skip
    return trip.note_notice(notice=said, act=act)


DEEDS = [
    Deed("trip.extension_agreed", "return_bay", extend),
    Deed("trip.swap_begun", "return_bay", swap),
    Deed("trip.gas_receipt", "coordinator", receipt),
    Deed("trip.fault", "return_bay", fault),
    Deed("trip.roadside", "return_bay", roadside),
    Deed("trip.wait", "coordinator", wait),
    Deed("trip.lateness_stopped", "coordinator", stop),
    Deed("trip.customer_displaced", "coordinator", displaced),
    Deed("trip.excess_lowered", "return_bay", lower),
    Deed("trip.notice", "coordinator", fined),
]
deeds = pytest.mark.parametrize("deed", DEEDS, ids=str)
LATER = DAY_3 + timedelta(hours=1)


@pytest.fixture(autouse=True)
def _ready(unit_118: Unit) -> None:
    """The swap's other unit is there."""


@deeds
def test_it_writes_one_row_and_one_entry(out: Rental, isla: Person, deed: Deed) -> None:
    act = an_act(isla, at=LATER)
    row = deed.do(out, act)
    entry = Entry.objects.get(key=act.key)
    assert (row.pk, entry.kind, entry.subject, entry.chain) == (act.key, deed.kind, act.key, out.pk)
    assert (row.rental_id, row.at, row.noted_at, row.by) == (out.pk, row.at, LATER, isla)


@deeds
def test_a_replay_does_it_once(out: Rental, isla: Person, deed: Deed) -> None:
    act = an_act(isla, at=LATER)
    first = deed.do(out, act)
    count = Entry.objects.count()
    assert deed.do(out, act) == first
    assert Entry.objects.count() == count


@deeds
def test_another_role_may_not(out: Rental, deed: Deed) -> None:
    other = PersonFactory(username="other", role=deed.not_for)
    with pytest.raises(NotAllowed):
        deed.do(out, an_act(other, at=LATER))


@deeds
def test_for_another_branch_it_is_not_there(out: Rental, ida: Person, deed: Deed) -> None:
    with pytest.raises(Http404):
        deed.do(out, an_act(ida, at=LATER))


@pytest.mark.parametrize("deed", [deed for deed in DEEDS if deed.kind != "trip.notice"], ids=str)
def test_before_pickup_nothing_happens_on_a_trip(isla: Person, unit_118: Unit, deed: Deed) -> None:
    with pytest.raises(CannotBe, match="has not left yet"):
        deed.do(RentalFactory(), an_act(isla, at=LATER))


@pytest.mark.parametrize("deed", [deed for deed in DEEDS if deed.kind != "trip.notice"], ids=str)
def test_what_is_still_to_come_cannot_be_noted(out: Rental, isla: Person, deed: Deed) -> None:
    with pytest.raises(CannotBe, match="is still to come"):
        deed.do(out, an_act(isla, at=DAY_3 - timedelta(minutes=1)))


def test_free_text_stays_out_of_the_ledger(out: Rental, isla: Person) -> None:
    for deed in (fault, fined):
        deed(out, an_act(isla, at=LATER))
    told = " ".join(Entry.objects.filter(kind__startswith="trip.").values_list("payload", flat=True))
    assert not any(word in told for word in ("Maren", "Glen Ure", "PCN 4711", "Glen Council"))


def test_a_time_before_the_pickup_is_refused(out: Rental, isla: Person) -> None:
    early = NINE - timedelta(minutes=1)
    with pytest.raises(CannotBe, match="It left on 14 Aug 2026 09:00; 14 Aug 2026 08:59 is before that") as refused:
        trip.stop_lateness(rental=out, at=early, cause="theft_report", act=an_act(isla, at=LATER))
    assert refused.value.field == "at"


def test_times_in_the_ledger_carry_their_offset(out: Rental, isla: Person) -> None:
    wait(out, an_act(isla, at=LATER))
    payload = json.loads(Entry.objects.get(kind="trip.wait").payload)
    assert (payload["from"], payload["to"]) == ("2026-08-16T13:00+01:00", "2026-08-16T15:00+01:00")
