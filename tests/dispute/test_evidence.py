"""What is gathered by itself: each finding says what it rests on and which way it speaks."""

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from fleet.models import PhotoView
from handover.dispute.evidence.finding import Finding, Side
from handover.dispute.evidence.findings import findings
from handover.dispute.evidence.gathering import Gathered, gather
from handover.dispute.evidence.photographs import photographed
from handover.dispute.evidence.timeline import timeline
from handover.dispute.line import StatementLine
from handover.dispute.models import Dispute
from handover.dispute.queries import disputes_in_full
from handover.photo.models import Photo, PhotoPair
from handover.rental.models import Rental
from handover.statement.actions import draw_up, leave_unsigned, settle, sign_statement
from handover.statement.models import Statement
from handover.tablet.models import Receipt
from handover.walkround.models import Mark, Reading
from shared.access.models import Device, Person
from shared.clock import zone_of
from shared.ids import uuid7
from tests.dispute.conftest import LATER, come_back, contest, the_door
from tests.factories import NINE, an_act
from tests.playing import STROKES

pytestmark = pytest.mark.django_db
Asserts = Callable[[int], Any]


def found_of(dispute: Dispute) -> Gathered:
    return gather(disputes_in_full().get(pk=dispute.pk))


def said_of(dispute: Dispute) -> dict[str, Finding]:
    found = found_of(dispute)
    with timezone.override(zone_of(dispute.rental.branch.zone)):
        return {row.words: row for row in findings(found, photographed(found))}


def one(rows: dict[str, Finding], part: str) -> Finding:
    (row,) = [row for words, row in rows.items() if part in words]
    return row


def line_of(statement: Statement, code: str) -> StatementLine:
    row = next(row for row in json.loads(statement.result)["lines"] if row["code"] == code)
    return StatementLine(statement, code, row["ref"], row["ref"])


def test_both_photos_of_the_view(dispute: Dispute) -> None:
    rows = said_of(dispute)
    out, back = one(rows, "A pickup photo shows the same view."), one(rows, "A return photo shows it.")
    assert (out.side, back.side) == (Side.FOR, Side.FOR)
    assert out.rests_on.startswith("Left door, Isla M., 14 Aug 2026 09:00, digest ")


def test_digests_are_held_to_the_ledger(dispute: Dispute) -> None:
    assert one(said_of(dispute), "What is shown has the digest that the Ledger states.").side == Side.FOR
    Photo.objects.filter(walk__kind="pickup").update(kept_sha256="0" * 64)
    changed = one(said_of(dispute), "The digest of this photo is not the one in the Ledger.")
    assert changed.side == Side.AGAINST
    assert changed.rests_on.startswith("Left door, Isla M.")


def test_what_the_pickup_photo_could_have_shown(dispute: Dispute) -> None:
    """640 px over 2 x 1.2 m x tan 32 degrees: 2.3 mm a pixel, three pixels 7.03 mm, in whole millimetres 8."""
    row = one(said_of(dispute), "By its pixels")
    assert "from 8 mm on; this one has 120 mm" in row.words
    assert "3 pixels across, 640 px wide, 1200 mm away" in row.rests_on
    assert row.side == Side.FOR


def test_no_pickup_photo_of_this_panel(settled: Statement, door: PhotoView) -> None:
    PhotoPair.objects.all().delete()
    Photo.objects.filter(walk__kind="pickup").update(subject=uuid7())
    row = one(said_of(contest(the_door(settled))), "No pickup photo of this panel.")
    assert row.side == Side.AGAINST


def test_a_mark_beside_the_view_is_not_in_it(dispute: Dispute) -> None:
    Mark.objects.update(x_mm=-1025, y_mm=5900)
    assert one(said_of(dispute), "lies beside what the pickup photo shows").side == Side.AGAINST


def test_a_mark_known_before_at_this_station(dispute: Dispute, isla: Person) -> None:
    mark = Mark.objects.get()
    Mark.objects.create(
        unit=mark.unit, number=9, station_number=1, kind="dent", place="left door", size_mm=40, x_mm=-1025, y_mm=2500,
        found_at=NINE - timedelta(days=9), found_by=isla,
    )  # fmt: skip
    row = one(said_of(dispute), "Mark 9, dent 40 mm, left door was known at this station before the pickup.")
    assert (row.side, row.rests_on) == (Side.AGAINST, "Isla M., 5 Aug 2026 09:00")


def test_who_signed_what(dispute: Dispute) -> None:
    rows = said_of(dispute)
    assert "bound to the digest" in one(rows, "Signed at pickup by customer.").rests_on
    assert one(rows, "The statement was signed by customer.").side == Side.FOR


def test_present_and_rate_card(dispute: Dispute) -> None:
    rows = said_of(dispute)
    assert one(rows, "The customer was present at the return.").rests_on.startswith("Return, Callum R.")
    assert one(rows, "Priced by rate card 7, as it stood at the pickup signature.").rests_on == "frozen 14 Aug 2026"


def test_both_readings_with_instrument_and_doubt(settled: Statement) -> None:
    rows = said_of(contest(line_of(settled, "FUEL")))
    out = one(rows, "Diesel at pickup: 82.0 L, read on the gauge, which may be off by 1.5 L.")
    assert out.rests_on == "Isla M., 14 Aug 2026 09:00"
    assert one(rows, "Diesel at return: 47.5 L").rests_on.startswith("Callum R.")


def test_a_reading_that_was_doubted_or_taken_over(settled: Statement) -> None:
    Reading.objects.filter(item__code="diesel", walk__kind="pickup").update(doubt="Unlikely", in_bulk=True)
    rows = said_of(contest(line_of(settled, "FUEL")))
    assert one(rows, "It was questioned when it was kept: Unlikely").rests_on == "nobody looked again"
    assert one(rows, "taken over with “Rest as last return”").side == Side.AGAINST


def test_read_offline_with_a_clock_behind(settled: Statement, callum: Person) -> None:
    reading = Reading.objects.get(item__code="diesel", walk__kind="return")
    device = Device.objects.create(id=uuid7(), made_by=callum)
    Receipt.objects.create(
        key=reading.pk, device=device, kind="reading", outcome="ok", relayed_by=callum, at=reading.at,
        received_at=reading.at + timedelta(minutes=190), skew_ms=-180_000, sha256="0" * 64,
    )  # fmt: skip
    row = one(said_of(contest(line_of(settled, "FUEL"))), "Read offline, clock 3 min behind.")
    assert "arrived 190 min later" in row.rests_on


def test_topics_of_the_place(settled: Statement) -> None:
    """The gas locker's topics speak for a gas line."""
    contested = contest(line_of(settled, "GAS"))
    assert one(said_of(contested), "“Gas valves” was understood, shown in en.").side == Side.FOR


def test_a_topic_that_nobody_spoke_about(settled: Statement) -> None:
    """It was heard on another walk-round's sheet only: what the ledger tells of this rental is what counts."""
    contested = contest(line_of(settled, "GAS"))
    found = found_of(contested)
    silent = replace(found, entries=[entry for entry in found.entries if entry.kind != "topic.heard"])
    rows = [row for row in findings(silent, photographed(silent)) if "was not spoken about" in row.words]
    assert [row.words for row in rows] == ["“Gas valves” was not spoken about.", "“Vents” was not spoken about."]
    assert {row.side for row in rows} == {Side.AGAINST}


def test_without_the_customer(out: Rental, door: PhotoView, callum: Person, shots: tuple[bytes, bytes]) -> None:
    come_back(out, callum, door=door, shot=None, mode="absent")
    statement = draw_up(out, act=an_act(callum, at=LATER))
    leave_unsigned(statement, outcome="refused", reason="He drove off", name="M", act=an_act(callum, at=LATER))
    sign_statement(
        statement, role="staff", name="C", strokes=STROKES, seen_sha256=statement.digest, act=an_act(callum, at=LATER)
    )
    settle(statement, act=an_act(callum, at=LATER))
    rows = said_of(contest(the_door(statement)))
    assert one(rows, "The customer was not present at the return.").side == Side.AGAINST
    assert one(rows, "No photo before it was moved").side == Side.AGAINST
    assert one(rows, "No return photo of it.").side == Side.AGAINST
    assert "He drove off" in one(rows, "The statement is not signed, refused to sign.").rests_on


def test_a_fixed_number_of_queries(dispute: Dispute, django_assert_max_num_queries: Asserts) -> None:
    whole = disputes_in_full().get(pk=dispute.pk)
    with django_assert_max_num_queries(7):
        found = gather(whole)
        findings(found, photographed(found))


def test_pegs_in_order_with_a_break_where_days_pass(dispute: Dispute) -> None:
    found = found_of(dispute)
    pegs = timeline(found, photographed(found), None)
    assert [(peg.head, peg.after_days) for peg in pegs] == [
        ("Pickup", 0), ("Return", 4), ("Statement settled", 0), ("Dispute 1", 4),
    ]  # fmt: skip
    assert pegs[0].words == "Isla M., photo of it"
