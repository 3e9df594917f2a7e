"""By plate, name, number, day and phrase; by whatever a person or an action wrote, from when it is written."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from fleet.models import Unit, UnitKit
from handover.counter.models import Soiling
from handover.damage.models import Grouping
from handover.dispute.models import Decision, Dispute
from handover.record.models import Record
from handover.rental.models import Driver, Leg, Rental
from handover.search.models import SearchRow, SearchWord
from handover.settlement.models import Movement
from handover.statement.models import Statement
from handover.trip.models import Notice
from handover.turnaround.models import TurnaroundJob
from handover.walkround.actions import answer_check, remark
from handover.walkround.models import Hold, Mark, WalkRound
from shared.access.models import Person
from shared.ids import uuid7
from tests.factories import BACK_AT, NINE, UnitFactory, an_act
from tests.playing import item, start


def found(client: Client, phrase: str, **said: str) -> str:
    answer = client.get(reverse("search"), {"q": phrase} | said)
    assert answer.status_code == 200
    return answer.text


def leads_to(page: str, name: str, *args: Any) -> bool:
    return f'href="{reverse(name, args=args)}"' in page


@pytest.mark.parametrize("typed", ["LRK 407", "lrk407", "Lrk-4", "407", "LK-20418", "lk 20418", "20418", "LK-204"])
def test_a_plate_and_a_number_however_typed(as_isla: Client, typed: str, booked: Rental) -> None:
    Rental.objects.get(pk=booked.pk)
    booked.number = "LK-20418"
    booked.save()
    assert leads_to(found(as_isla, typed), "rental", booked.pk)


@pytest.mark.parametrize("typed", ["Maren", "maren oduya", "ODUYA", "Oduya, Maren", "duya", "Ödüya"])
def test_a_name_by_any_part(as_isla: Client, typed: str, booked: Rental) -> None:
    page = found(as_isla, typed)
    assert leads_to(page, "rental", booked.pk)
    assert "Customers and drivers" in page


def test_a_driver_who_is_added_is_found_and_one_who_is_taken_out_is_not(as_isla: Client, booked: Rental) -> None:
    driver = Driver.objects.create(rental=booked, name="Tobias Lindqvist")
    assert leads_to(found(as_isla, "Lindqvist"), "rental", booked.pk)
    driver.delete()
    assert "Nothing found." in found(as_isla, "Lindqvist")


def test_a_customer_under_another_name(as_isla: Client, booked: Rental) -> None:
    booked.customer.name = "Marenka Sund"
    booked.customer.save()
    booked.drivers.all().delete()
    assert leads_to(found(as_isla, "sund"), "rental", booked.pk)
    assert "Nothing found." in found(as_isla, "oduya")


def test_a_unit_with_another_plate_takes_its_rentals_along(as_isla: Client, booked: Rental) -> None:
    unit = Unit.objects.get()
    unit.plate = "QRS 99"
    unit.save()
    page = found(as_isla, "qrs99")
    assert leads_to(page, "rental", booked.pk)
    assert leads_to(page, "unit-jobs", "407")
    assert "Nothing found." in found(as_isla, "lrk407")


def test_a_swap_is_found_by_both_units(as_isla: Client, booked: Rental) -> None:
    Leg.objects.create(rental=booked, number=2, unit=UnitFactory(number="305"))
    for plate in ("lrk 407", "lrk 305"):
        assert leads_to(found(as_isla, plate), "rental", booked.pk)


@pytest.mark.parametrize("typed", ["2026-08-14", "14.8.2026", "14 Aug 2026", "Aug 18, 2026", "18/08/2026"])
def test_a_day_says_how_it_was_read(as_isla: Client, typed: str, booked: Rental) -> None:
    page = found(as_isla, typed)
    assert leads_to(page, "rental", booked.pk)
    assert "is read as" in page
    assert "Aug 2026" in page


def test_the_day_before_nothing_happened(as_isla: Client, booked: Rental) -> None:
    assert "Nothing found." in found(as_isla, "2026-08-13")
    assert "Nothing found." in found(as_isla, "2026-08-15")


def test_a_day_is_the_branchs_own(as_ida: Client, elsewhere: Rental) -> None:
    """Half past two in Greenwich is the evening before in Halifax."""
    elsewhere.planned_out_at = datetime(2026, 8, 14, 2, 30, tzinfo=UTC)
    elsewhere.save()
    assert leads_to(found(as_ida, "2026-08-13"), "rental", elsewhere.pk)
    assert not leads_to(found(as_ida, "2026-08-14"), "rental", elsewhere.pk)


def test_what_the_walk_round_said(as_isla: Client, isla: Person, booked: Rental) -> None:
    walk = start(booked, "pickup", isla)
    remark(walk, text="The awning squeaks\nat night.", act=an_act(isla))
    answer_check(walk, item=item(walk, "Floor drain clear").id, word="good", note="Moss in it", act=an_act(isla))
    answer_check(walk, item=item(walk, "Smell of gas").id, word="bad", act=an_act(isla))
    for phrase in ("squeaks at", "awning", "moss in", "gas smell this unit"):
        assert leads_to(found(as_isla, phrase), "walk", walk.pk), phrase
    assert "<b>squeaks at</b>" in found(as_isla, "SQUEAKS AT")


def test_a_stop_that_is_put_right_by_a_later_answer_says_why(as_isla: Client, isla: Person, booked: Rental) -> None:
    """Written past save(): what says so to the ledger is heard."""
    walk = start(booked, "pickup", isla)
    asked = item(walk, "Smell of gas").id
    answer_check(walk, item=asked, word="bad", act=an_act(isla))
    answer_check(walk, item=asked, word="good", act=an_act(isla, at=NINE + timedelta(minutes=9)))
    hold = Hold.objects.get()
    assert hold.reason
    assert leads_to(found(as_isla, hold.reason), "walk", walk.pk)


def test_a_seal(as_isla: Client, back: Rental) -> None:
    page = found(as_isla, "93412")
    assert leads_to(page, "unit-jobs", "407")
    assert "Seals, notices, receipts, payments" not in page or "Seal" in page
    kit = UnitKit.objects.get()
    kit.seal_number = "55001"
    kit.save()
    assert leads_to(found(as_isla, "55001"), "unit-jobs", "407")


def test_a_statement_by_its_lines_and_its_number(as_callum: Client, priced: Statement) -> None:
    for phrase in ("late return", priced.rental.number):
        assert leads_to(found(as_callum, phrase), "statement-version", priced.rental_id, 1), phrase


def test_a_record_by_its_code_and_its_digest(as_isla: Client, out: Rental) -> None:
    record = Record.objects.get(rental=out)
    assert leads_to(found(as_isla, record.code.lower()), "record", record.pk)
    record.pdf_sha256 = "ab12" * 16
    record.save(update_fields=["pdf_sha256"])
    assert leads_to(found(as_isla, "ab12" * 16), "record", record.pk)


def test_a_dispute_and_its_decision(as_callum: Client, callum: Person, priced: Statement) -> None:
    dispute = Dispute.objects.create(
        rental=priced.rental, statement=priced, number=73, code="LATE", ref="return", title="Late return",
        words="The gate was shut", by_customer=True, answer_by=BACK_AT.date(), at=BACK_AT,
    )  # fmt: skip
    Decision.objects.create(
        dispute=dispute, outcome="upheld", before=1, after=1, words="Cameras show it open.", at=BACK_AT, by=callum
    )
    for phrase in ("73", "gate was shut", "cameras"):
        assert leads_to(found(as_callum, phrase), "dispute", dispute.pk), phrase


def test_a_mark_on_a_rental_and_one_of_the_yard(as_isla: Client, isla: Person, booked: Rental) -> None:
    walk = start(booked, "pickup", isla)
    said = {"unit": walk.leg.unit, "station_number": 2, "kind": "scratch", "size_mm": 40, "x_mm": 0, "y_mm": 0}
    Mark.objects.create(**said, number=7, place="left door", found_at=NINE, found_on=walk, found_by=isla)
    Mark.objects.create(**said, number=8, place="rear ladder", found_at=NINE, found_by=isla)
    assert leads_to(found(as_isla, "left door"), "damages", booked.pk)
    assert leads_to(found(as_isla, "407 7"), "damages", booked.pk)
    assert leads_to(found(as_isla, "ladder"), "unit-jobs", "407")


def test_payments_notices_jobs_cleaning_and_groupings(as_callum: Client, callum: Person, priced: Statement) -> None:
    rental, said = priced.rental, {"rental": priced.rental, "at": BACK_AT, "by": callum}
    Movement.objects.create(**said, kind="held", method="cash", amount=1, currency="GBP", reference="AUTH 4417-09")
    Notice.objects.create(
        **said, leg=rental.legs.get(), noted_at=BACK_AT, kind="fine", ref="B/77-1", authority="Port Averil Bridges",
        plate="LRK 407", zone="Europe/London", amount=1, received_on=BACK_AT.date(),
    )  # fmt: skip
    Soiling.objects.create(**said, zone="interior", tier="heavy", words="Sand in the berth")
    Grouping.objects.create(**said, events=[{"id": "E1", "cause": "a low branch", "marks": []}], reason="One drive")
    job = TurnaroundJob.objects.create(
        unit=rental.legs.get().unit, kind="other", name="Step light", at=BACK_AT, by=callum
    )
    for phrase, name in (
        ("auth441709", "settlement"), ("b77", "trip"), ("averil bridges", "trip"), ("sand in", "found"),
        ("low branch", "damages"), ("one drive", "damages"),
    ):  # fmt: skip
        assert leads_to(found(as_callum, phrase), name, rental.pk), phrase
    assert leads_to(found(as_callum, "step light"), "job", job.pk)


def test_a_row_is_found_once_and_its_words_go_with_it(booked: Rental) -> None:
    before = SearchWord.objects.count()
    booked.save()
    booked.customer.save()
    booked.legs.get().unit.save()
    assert SearchWord.objects.count() == before
    row = SearchRow.objects.get(source="Name")
    assert row.words.count() == len({bytes(word.key) for word in row.words.all()}) == 8


def test_an_answer_without_words_asks_nothing(
    isla: Person, booked: Rental, django_assert_num_queries: Any
) -> None:  # fmt: skip
    """Most answers hold none, and they come by the hundred."""
    walk: WalkRound = start(booked, "pickup", isla)
    answer = walk.checkanswers.model(
        id=uuid7(), walk=walk, item_id=item(walk, "Cap and flap").id, word="good", at=NINE, by=isla
    )
    with django_assert_num_queries(1):
        answer.save(force_insert=True)
