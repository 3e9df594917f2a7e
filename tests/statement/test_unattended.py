"""A return without the customer: no signature is asked, lines say so, days to object, and how late a key drop is."""

import json
from datetime import UTC, date, datetime
from typing import Any

import pytest
from django.test import Client

from fleet.models import Branch
from handover.acting import CannotBe
from handover.record.content import RecordContent
from handover.record.document import content_from
from handover.record.models import Record
from handover.record.writing import record_document
from handover.rental.models import Rental
from handover.statement.actions import draw_up, settle, sign_statement
from handover.statement.models import Signature, Statement
from handover.statement.unattended import absence_of
from handover.walkround import actions
from handover.walkround.arrival import KeyDrop
from shared.access.models import Person
from shared.ledger.models import Entry
from tests.factories import RULES, OpeningHoursFactory, RateCardFactory, UnitFactory, an_act
from tests.factories import RentalFactory as Rentals
from tests.playing import STROKES, go, read, start

SUNDAY_NIGHT = datetime(2026, 8, 16, 20, 30, tzinfo=UTC)
MONDAY_MORNING = datetime(2026, 8, 17, 7, 5, tzinfo=UTC)
NOW = datetime(2026, 8, 17, 8, 0, tzinfo=UTC)
FOUND = KeyDrop(MONDAY_MORNING, "Callum Reid")
DEEMED = RULES | {
    "late": RULES["late"] | {"after_hours": "deemed_next_opening", "after_hours_fee": "45.00"},
}


def back(isla: Person, callum: Person, **said: Any) -> Rental:
    rental = Rentals(leg=UnitFactory(odometer_km=66_000), planned_back_at=SUNDAY_NIGHT)
    go(rental, isla, diesel="82", gas_front="11.7", odometer="66300")
    walk = start(rental, "return", callum, at=NOW, **{"mode": "key_drop", "arrived_at": SUNDAY_NIGHT, **said})
    read(walk, callum, NOW, diesel="47.5", gas_front="11.7", odometer="66700")
    actions.finish(walk, act=an_act(callum, at=NOW))
    rental.refresh_from_db()
    return rental


@pytest.fixture
def dropped(isla: Person, callum: Person) -> Rental:
    return back(isla, callum, drop=FOUND)


def settled(rental: Rental, by: Person) -> Statement:
    statement = draw_up(rental, act=an_act(by, at=NOW))
    signed(statement, by)
    return settle(statement, act=an_act(by, at=NOW))


def signed(statement: Statement, by: Person, role: str = "staff") -> None:
    seen = statement.digest
    sign_statement(statement, role=role, name=role, strokes=STROKES, seen_sha256=seen, act=an_act(by, at=NOW))


def test_the_staff_alone_sign_and_it_is_settled(dropped: Rental, callum: Person) -> None:
    statement = settled(dropped, callum)
    outcomes = dict(statement.signatures.values_list("role", "outcome"))
    assert outcomes == {"staff": "signed", "customer": "absent"}


def test_the_reason_stands_in_place_of_the_signature(dropped: Rental, callum: Person) -> None:
    settled(dropped, callum)
    reason = Signature.objects.get(role="customer", statement__isnull=False).reason
    assert reason == "Key drop: keys found by Callum Reid, 17 Aug 2026, 08:05."


def test_who_left_is_said_so(isla: Person, callum: Person) -> None:
    rental = back(isla, callum, mode="absent")
    absence = absence_of(rental)
    assert absence is not None
    assert absence.reason == "The customer had left when the vehicle was looked at."


def test_the_branch_s_days_to_object_begin(dropped: Rental, callum: Person) -> None:
    Branch.objects.update(objection_days=21)
    dropped.branch.refresh_from_db()
    statement = settled(dropped, callum)
    assert statement.objection_until == date(2026, 9, 7)
    assert '"until":"2026-09-07"' in Entry.objects.get(kind="statement.open_to_objection").payload


def test_settled_twice_is_settled_once(dropped: Rental, callum: Person) -> None:
    statement = draw_up(dropped, act=an_act(callum, at=NOW))
    signed(statement, callum)
    act = an_act(callum, at=NOW)
    settle(statement, act=act)
    settle(statement, act=act)
    assert Signature.objects.filter(role="customer", statement=statement).count() == 1


def test_staff_sign_all_the_same(dropped: Rental, callum: Person) -> None:
    statement = draw_up(dropped, act=an_act(callum, at=NOW))
    with pytest.raises(CannotBe, match="Still to sign: customer and staff"):
        settle(statement, act=an_act(callum, at=NOW))


def test_a_customer_who_is_there_is_asked_as_ever(isla: Person, callum: Person) -> None:
    rental = back(isla, callum, mode="attended")
    assert absence_of(rental) is None
    with pytest.raises(CannotBe, match="Still to sign: customer"):
        settled(rental, callum)


def test_who_comes_by_after_all_may_sign(dropped: Rental, callum: Person) -> None:
    statement = draw_up(dropped, act=an_act(callum, at=NOW))
    for role in ("customer", "staff"):
        signed(statement, callum, role)
    settle(statement, act=an_act(callum, at=NOW))
    assert set(statement.signatures.values_list("outcome", flat=True)) == {"signed"}
    assert statement.objection_until is None


def test_the_page_asks_no_signature_of_the_customer(dropped: Rental, callum: Person, client: Client) -> None:
    client.force_login(callum)
    draw_up(dropped, act=an_act(callum, at=NOW))
    text = client.get(f"/rental/{dropped.pk}/statement/").text
    assert "Key drop: the customer was not present." in text
    assert "they can object for 14 days" in text
    assert 'name="role" value="staff"' in text
    assert 'name="role" value="customer"' not in text
    assert "Not signed by the customer" not in text


def test_only_what_was_found_without_them_is_marked(dropped: Rental, callum: Person, client: Client) -> None:
    client.force_login(callum)
    statement = draw_up(dropped, act=an_act(callum, at=NOW))
    codes = [line["code"] for line in json.loads(statement.result)["lines"]]
    marked = client.get(f"/rental/{dropped.pk}/statement/").text.count("; customer not present")
    assert marked == codes.count("FUEL") == 1


def test_an_attended_return_marks_nothing(isla: Person, callum: Person, client: Client) -> None:
    client.force_login(callum)
    rental = back(isla, callum, mode="attended")
    draw_up(rental, act=an_act(callum, at=NOW))
    assert "customer not present" not in client.get(f"/rental/{rental.pk}/statement/").text


def late_minutes(rental: Rental, callum: Person) -> tuple[str, list[str]]:
    result = json.loads(draw_up(rental, act=an_act(callum, at=NOW)).result)
    workings = [row["measure"] for row in result["workings"] if row["code"] == "LATE"]
    return "".join(workings), [line["code"] for line in result["lines"]]


def test_a_drop_in_the_night_counts_at_the_next_opening(isla: Person, callum: Person) -> None:
    RateCardFactory(rules=DEEMED)
    OpeningHoursFactory()
    rental = back(isla, callum, drop=FOUND)
    measure, codes = late_minutes(rental, callum)
    assert measure.startswith("630 min")
    assert "AFTER_HOURS" in codes


def test_by_a_card_without_that_rule_it_counts_when_it_came(dropped: Rental, callum: Person) -> None:
    assert late_minutes(dropped, callum)[0] == ""


def test_nobody_saw_it_and_the_earliest_counts(isla: Person, callum: Person) -> None:
    drop = KeyDrop(MONDAY_MORNING, "Callum Reid", until=MONDAY_MORNING)
    rental = back(isla, callum, drop=drop)
    assert late_minutes(rental, callum)[0] == ""


def test_the_record_says_how_it_came_back(dropped: Rental, callum: Person) -> None:
    content = recorded(settled(dropped, callum))
    walk = content.walk("return")
    assert walk is not None
    assert walk.mode == "key_drop"
    assert walk.keys is not None
    assert (walk.keys.by, content.statement and content.statement.objection_until) == ("Callum Reid", date(2026, 8, 31))


def recorded(statement: Statement) -> RecordContent:
    record = Record.objects.select_related("rental__branch", "statement").get(statement=statement)
    return content_from(record_document(record)[0])
