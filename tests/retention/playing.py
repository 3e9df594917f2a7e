"""Maren Oduya's rental with everything a person can leave behind in it, played through the actions."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

from fleet.models import Branch, Unit
from handover.acting import AnyonesAct
from handover.cabcard.actions import NightSaid, plan_nights
from handover.counter.actions import object_to_line, waive
from handover.counter.actions.waiving import Reduction
from handover.customer.actions import announce_late, make_link, send_link
from handover.customer.actions.noticing import NoticedSaid, note_noticed
from handover.photo.actions import add_photo
from handover.photo.taking_in import take_in
from handover.rental.actions import book
from handover.rental.booking import BookingDetails
from handover.rental.models import Rental
from handover.settlement.actions import Money, hold_deposit
from handover.statement.actions import draw_up, settle, sign_statement
from handover.statement.models import Statement
from handover.walkround import actions as walk_actions
from handover.walkround.actions.marking import MarkSeen
from handover.walkround.document import shown_digest
from handover.walkround.models import WalkRound
from shared.access.models import Person
from shared.canonical import digest
from shared.ids import uuid7
from tests.counter.conftest import MORE_RULES
from tests.factories import BACK_AT, NINE, OUT_AT, RateCardFactory, UnitFactory, an_act
from tests.photos.pictures import noise, saved
from tests.playing import item, read, start

NAME, EMAIL, PHONE = "Maren Oduya", "maren.oduya@example.org", "+44 1632 960417"
DRIVER, LICENCE, ADDRESS = "Tobias Oduya", "ODUYA 851204 M9", "14 Harbour Steps, Port Averil"
REMARK = f"My licence is {LICENCE}, I live at {ADDRESS}."
NOTICED = "The step was bent when Tobias got in."
LATE = "The ferry is full, writes Maren from pier 4."
OBJECTION = "I rang at ten and spoke to Callum, says Maren."
WAIVED = "Maren waited for the bus"
NOTE = "Maren says it was like that"
REFERENCE = "AUTH 44170986"
NIGHT = "Skerry Point, pitch 9"
STROKES = [[{"x": 217, "y": 83, "t": 0}, {"x": 263, "y": 21, "t": 91}, {"x": 311, "y": 87, "t": 173}]]
BACK = BACK_AT + timedelta(minutes=107)
LATER = BACK_AT + timedelta(hours=3)
ON_TRIP = datetime(2026, 8, 15, 7, tzinfo=UTC)

NEEDLES: dict[str, bytes] = {
    "name": NAME.encode(),
    "first name": b"Maren",
    "e-mail": EMAIL.encode(),
    "phone": PHONE.encode(),
    "driver": b"Tobias",
    "licence": LICENCE.encode(),
    "address": ADDRESS.encode(),
    "remark": REMARK.encode(),
    "noticed": NOTICED.encode(),
    "lateness": LATE.encode(),
    "objection": OBJECTION.encode(),
    "waiver": WAIVED.encode(),
    "note": NOTE.encode(),
    "payment": REFERENCE.encode(),
    "night": NIGHT.encode(),
    "digest of the strokes": digest(
        [[{name: point[name] for name in ("t", "x", "y")} for point in STROKES[0]]]
    ).encode(),
    "a point of the strokes": b'"x": 217',
}


def booked(branch: Branch, host: Person, *, unit: Unit | None = None) -> Rental:
    RateCardFactory(branch=branch, rules=MORE_RULES)
    details = BookingDetails(
        customer_name=NAME, unit=unit or UnitFactory(odometer_km=41_000), planned_out_at=OUT_AT,
        planned_back_at=BACK_AT, charged_days=4, email=EMAIL, phone=PHONE, drivers=(NAME, DRIVER),
        excess=Decimal("1000.00"), deposit_held=Decimal("500.00"),
    )  # fmt: skip
    return book(branch=branch, details=details, act=an_act(host, at=NINE - timedelta(days=1)))


def gone(rental: Rental, host: Person, shots: dict[str, bytes]) -> None:
    """Pickup with a remark, a note, a photo and signatures; a deposit, a night, a link sent, something noticed."""
    plan_nights(
        rental=rental, act=an_act(host),
        nights=(NightSaid(OUT_AT.date(), NIGHT, Decimal("57.1234"), Decimal("-4.5678")),),
    )  # fmt: skip
    hold_deposit(
        rental=rental, money=Money(Decimal("500.00"), "card", REFERENCE), act=an_act(host),
        expires_on=(BACK_AT + timedelta(days=9)).date(),
    )  # fmt: skip
    walk = start(rental, "pickup", host)
    read(walk, host, NINE, diesel="82", odometer="41206", gas_front="11.7")
    walk_actions.answer_check(walk, item=item(walk, "Floor drain clear").id, word="good", note=NOTE, act=an_act(host))
    walk_actions.remark(walk, text=REMARK, act=an_act(host))
    add_photo(walk, station=1, data=shots["cab"], view="cab", subject=None, act=an_act(host))
    for topic in (topic for station in walk.sheet.data.stations for topic in station.topics):
        walk_actions.hear_topic(walk, item=topic.id, outcome="understood", seconds=20, act=an_act(host))
    signed(walk, host, NINE)
    walk_actions.finish(walk, act=an_act(host))
    rental.refresh_from_db()


def noticed(rental: Rental, host: Person, shots: dict[str, bytes]) -> None:
    """On the trip. The clock of the test stands there, as a link is checked against it."""
    link = make_link(rental, act=an_act(host, at=ON_TRIP))
    send_link(link, to=EMAIL, act=an_act(host, at=ON_TRIP))
    note_noticed(
        link, NoticedSaid(NOTICED, place="step"), act=AnyonesAct(by=None, at=ON_TRIP, key=uuid7()),
        photos=[take_in(shots["step"], zone="Europe/London")],
    )  # fmt: skip
    late = AnyonesAct(by=None, at=ON_TRIP, key=uuid7())
    announce_late(link, back_at=BACK_AT + timedelta(hours=2), words=LATE, act=late)


def signed(walk: WalkRound, by: Person, at: datetime) -> None:
    seen = shown_digest(walk)
    for role, name in (("customer", NAME), ("staff", str(by))):
        walk_actions.sign_walk(walk, role=role, name=name, strokes=STROKES, seen_sha256=seen, act=an_act(by, at=at))


def back(rental: Rental, by: Person, shots: dict[str, bytes]) -> Statement:
    """Return with a new scratch and its photo; priced, objected to, waived in part, signed and settled."""
    walk = start(rental, "return", by, at=BACK, arrived_at=BACK)
    read(walk, by, BACK, diesel="47.5", odometer="42018", gas_front="9.1")
    walk_actions.check_seal(
        walk, item=item(walk, "first_aid").id, state="broken", seal_number="93412", act=an_act(by, at=BACK)
    )
    mark = walk_actions.pin_mark(
        walk, station=1, seen=MarkSeen("scratch", "door", "left door", 120, -1025, 2600), act=an_act(by, at=BACK)
    )
    add_photo(walk, station=1, data=shots["door"], view="left door", subject=mark.pk, act=an_act(by, at=BACK))
    walk_actions.finish(walk, act=an_act(by, at=BACK))
    rental.refresh_from_db()
    statement = draw_up(rental, act=an_act(by, at=LATER))
    object_to_line(statement, code="LATE", ref="return", title="Late return", words=OBJECTION, act=an_act(by, at=LATER))
    return settled(rental, by)


def settled(rental: Rental, by: Person) -> Statement:
    reduction = Reduction("service_failure", WAIVED, amount=Decimal("5.00"))
    waive(rental, code="LATE", ref="return", reduction=reduction, act=an_act(by, at=LATER))
    statement = draw_up(rental, act=an_act(by, at=LATER))
    for role, name in (("customer", NAME), ("staff", str(by))):
        sign_statement(
            statement, role=role, name=name, strokes=STROKES, seen_sha256=statement.digest, act=an_act(by, at=LATER)
        )
    settle(statement, act=an_act(by, at=LATER))
    rental.refresh_from_db()
    return statement


def shots() -> dict[str, bytes]:
    """Three pictures of other bytes: the cab, the step as the customer saw it, the door."""
    sizes: dict[str, Any] = {"cab": (64, 48), "step": (66, 48), "door": (68, 48)}
    return {name: saved(noise(*size), "JPEG") for name, size in sizes.items()}
