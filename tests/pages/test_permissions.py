"""Every named address against everybody: who comes through, who may not, for whom it is not there.

A new address that stands in no row fails the last test: say who it is for.
"""

import json
from collections import Counter
from collections.abc import Callable, Iterator
from datetime import timedelta
from io import BytesIO
from typing import Any, NamedTuple

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import call_command
from django.http import HttpResponse
from django.test import Client
from django.urls import resolve, reverse
from django.utils import timezone

from consumables.models import Fill
from fleet.models import Branch, Topic, TopicText
from handover.api.models import ApiToken
from handover.api.webhooks.models import Webhook, WebhookDelivery
from handover.counter.models import Objection, Waiver
from handover.customer.actions import make_link
from handover.customer.models import CustomerLink, Noticed, NoticedPhoto
from handover.customer.token import token_of
from handover.dispute.models import Bundle, Decision, Dispute, DisputePhoto, Letter
from handover.paper.models import PaperSheet
from handover.photo.models import Photo, PhotoPair
from handover.record.models import Record
from handover.rental.models import Rental
from handover.retention.models import LegalHold
from handover.search.models import SavedView
from handover.settlement.models import Movement
from handover.statement.models import Statement
from handover.trip.models import Extension, Notice, TripPhoto
from handover.turnaround.models import TurnaroundJob
from handover.walkround.actions import answer_check
from handover.walkround.models import Hold, Mark, Reading, WalkRound
from shared.access.checks import every_address_stands_in_the_table
from shared.access.gate import access_for, addresses, check_right, unlisted
from shared.access.matrix import PROGRAMS, SETTING_UP, TABLE, Access, Door, Reach, access_to
from shared.access.models import DevicePerson, Person
from shared.access.roles import Role
from shared.access.scope import NotAllowed
from shared.access.taking_over import remember
from shared.files.store import keep
from shared.ids import uuid7
from shared.ledger.day_document import Day, document_of
from shared.ledger.models import DaySeal
from tests.api.made import a_delivery, a_token, a_webhook
from tests.factories import (
    BACK_AT,
    NINE,
    BranchFactory,
    PersonFactory,
    PortAverilFactory,
    RentalFactory,
    UnitFactory,
    an_act,
)
from tests.pages.headers import assert_kept_in
from tests.photos.pictures import quarters
from tests.playing import STROKES, go, item, start
from tests.unprinted import record_unprinted  # noqa: F401 (fixture)

ALL = "host return_bay manager coordinator administrator"
BOOK = "host manager coordinator"
PICKUP = "host manager"
SETTLE = "host return_bay manager"
RELEASE = "manager"
SET_UP = "coordinator administrator"
CARDS = "manager coordinator administrator"
VERIFY = "manager administrator"
ADMIN = "administrator"
ROLES = ALL.split()


class Row(NamedTuple):
    """`roles` come through at their own branch; `sent` makes it a POST; `public`: without signing in."""

    name: str
    roles: str
    where: Callable[["World"], dict[str, Any]] = lambda world: {}
    sent: dict[str, Any] | None = None
    public: bool = False


class World(NamedTuple):
    """A pickup under way at Inverlark that a failed check holds, with a mark and a photo; a statement and a record.

    `cookies` has those of each role's browser, of the same at the other branch, and of the customer's, by name.
    """

    branch: Branch
    rental: Rental
    walk: WalkRound
    hold: Hold
    mark: Mark
    photo: Photo
    statement: Statement
    record: Record
    cookies: dict[str, dict[str, str]]


def paper(world: World) -> PaperSheet:
    """A blank one, printed once."""
    sheet = PaperSheet.objects.filter(branch=world.branch).first()
    layout, by = world.walk.leg.unit.layout, world.walk.started_by
    return sheet or PaperSheet.objects.create(
        branch=world.branch, layout=layout, number=7, printed_at=NINE, printed_by=by
    )


def rental(world: World) -> dict[str, Any]:
    return {"pk": world.rental.pk}


def link_of(world: World) -> CustomerLink:
    """The customer's way in, made once; it is open until some days after tomorrow's return."""
    if made := CustomerLink.objects.filter(rental=world.rental).first():
        return made
    Rental.objects.filter(pk=world.rental.pk).update(planned_back_at=timezone.now() + timedelta(days=1))
    return make_link(world.rental, act=an_act(world.walk.started_by, at=timezone.now()))


def by_link(of: str = "") -> Callable[["World"], dict[str, Any]]:
    """Whoever has the address comes in, signed in or not; `of` names a row of this rental beside the token."""

    def where(world: World) -> dict[str, Any]:
        token = {"token": token_of(link_of(world))}
        if of == "line":
            return token | {"number": line(world)["number"]}
        if of == "told":
            return token | told(world)
        return token | ({"pk": getattr(world, of).pk} if of else {})

    return where


def told(world: World) -> dict[str, Any]:
    """A photo that the customer sent."""
    said = {"rental": world.rental, "leg": world.walk.leg, "link": link_of(world), "words": "A scratch.", "at": NINE}
    noticed = Noticed.objects.first() or Noticed.objects.create(**said, hours_after_pickup=1, in_time=True)
    files = dict.fromkeys(("original", "display", "thumb"), world.photo.thumb)
    return {"pk": (noticed.photos.first() or NoticedPhoto.objects.create(noticed=noticed, **files)).pk}


def a_link(world: World) -> dict[str, Any]:
    return {"pk": link_of(world).pk}


def board(world: World) -> dict[str, Any]:
    return {"code": world.branch.code, "day": NINE.date()}


def branch(world: World) -> dict[str, Any]:
    return {"code": world.branch.code}


def card(world: World) -> dict[str, Any]:
    return {"pk": world.branch.rate_cards.get(number=7).pk}


def walk(world: World) -> dict[str, Any]:
    return {"walk_id": world.walk.pk}


def station(world: World) -> dict[str, Any]:
    return {"walk_id": world.walk.pk, "number": 2}


def question(code: str, number: int = 2) -> Callable[[World], dict[str, Any]]:
    def where(world: World) -> dict[str, Any]:
        return {"walk_id": world.walk.pk, "number": number, "item": item(world.walk, code).id}

    return where


def one(kind: str) -> Callable[[World], dict[str, Any]]:
    return lambda world: {"pk": getattr(world, kind).pk}


def coming_back(world: World) -> dict[str, Any]:
    """The diesel of a return under way, begun once."""
    walk = WalkRound.objects.filter(kind="return").first() or _return(world)
    return {"walk_id": walk.pk, "number": 1, "item": item(walk, "diesel").id}


def _return(world: World) -> WalkRound:
    host = world.walk.started_by
    rental = RentalFactory(leg=UnitFactory(number="305"))
    go(rental, host, diesel="82")
    return start(rental, "return", host, at=BACK_AT, arrived_at=BACK_AT)


def on_the_trip(kind: str) -> Callable[[World], dict[str, Any]]:
    """An extension, a notice, a photo of a receipt, a deposit held: made once."""

    def where(world: World) -> dict[str, Any]:
        model, fields = TRIP[kind]
        leg = {"leg": world.walk.leg} if kind == "notice" else {}
        noted = {} if kind in {"photo", "hold"} else {"noted_at": NINE}
        files = dict.fromkeys(("original", "display", "thumb"), world.photo.thumb) if kind == "photo" else {}
        said = {"rental": world.rental, "at": NINE, "by": world.walk.started_by, **fields, **leg, **noted, **files}
        return {"pk": (model.objects.first() or model.objects.create(**said)).pk}

    return where


TRIP: dict[str, tuple[Any, dict[str, Any]]] = {
    "extension": (Extension, {"days": 1, "day_rate": 1, "new_return_at": BACK_AT}),
    "notice": (Notice, {"kind": "fine", "ref": "1", "amount": 1, "received_on": NINE.date(), "zone": "Europe/London"}),
    "photo": (TripPhoto, {"event": uuid7()}),
    "hold": (Movement, {"kind": "held", "method": "cash", "amount": 1, "currency": "GBP"}),
}


def contested(name: str) -> Callable[[World], dict[str, Any]]:
    """A dispute of the late line with a photo, its decision with a letter, a bundle: made once."""

    def where(world: World) -> dict[str, Any]:
        by, file = world.walk.started_by, world.photo.thumb
        told = {"rental": world.rental, "statement": world.statement, "code": "LATE", "ref": "return", "number": 1}
        dispute = Dispute.objects.first() or Dispute.objects.create(
            **told, title="Late return", words="No", by_customer=True, answer_by=NINE.date(), at=NINE
        )
        if name == "dispute-photo":
            files = dict.fromkeys(("original", "display", "thumb"), file)
            return {"pk": (dispute.photos.first() or DisputePhoto.objects.create(dispute=dispute, at=NINE, **files)).pk}
        if name == "dispute-bundle":
            made = {"limit_bytes": 1, "by": by, "ordered_at": NINE, "file": file}
            return {"pk": (dispute.bundles.first() or Bundle.objects.create(dispute=dispute, **made)).pk}
        if name.startswith("dispute-letter"):
            return {"pk": (Letter.objects.first() or _letter(dispute, by, file)).pk}
        return {"pk": dispute.pk}

    return where


def _letter(dispute: Dispute, by: Person, file: str) -> Letter:
    reason = {"outcome": "upheld", "before": 1, "after": 1, "words": "So it is.", "at": NINE, "by": by}
    decision = Decision.objects.create(dispute=dispute, **reason)
    return Letter.objects.create(decision=decision, language="en", ordered_at=NINE, file=file, state="ready")


def a_seal(world: World) -> dict[str, Any]:
    """A day seal is the operator's, not a branch's; this one is unsigned."""
    document = document_of(Day(NINE.date(), 0, ()), earlier=[], sealed_at=NINE)
    DaySeal.objects.get_or_create(number=1, day=NINE.date(), defaults={"document": document, "signature": b"-"})
    return {"number": 1}


def of_api(name: str) -> Callable[[World], dict[str, Any]]:
    """A token, its webhook, a delivery to it: made once."""

    def where(world: World) -> dict[str, Any]:
        token = ApiToken.objects.first() or a_token(world.branch)[0]
        webhook = Webhook.objects.first() or a_webhook(token)[0]
        delivery = WebhookDelivery.objects.first() or a_delivery(webhook, world.rental)
        row = {"api-revoke-token": token, "api-stop-webhook": webhook}.get(name, delivery)
        return branch(world) | {"pk": row.pk}

    return where


def a_tablet(world: World) -> dict[str, Any]:
    """On which Isla signed in, once."""
    known = DevicePerson.objects.filter(person=world.walk.started_by).first()
    return {"pk": known.device_id if known else remember(uuid7(), world.walk.started_by, at=NINE).pk}


def a_hold(world: World) -> dict[str, Any]:
    """A legal hold on the rental, placed once."""
    said = {"reason": "A claim.", "at": NINE, "by": world.walk.started_by}
    return {"pk": LegalHold.objects.get_or_create(rental=world.rental, defaults=said)[0].pk}


def a_view(world: World) -> dict[str, Any]:
    """A view that is shared with the branch."""
    said = {"person": world.walk.started_by, "branch": world.branch, "name": "Late"}
    return {"pk": (SavedView.objects.first() or SavedView.objects.create(**said, phrase="late")).pk}


def line(world: World) -> dict[str, Any]:
    """Line 1 of a second version: 50.00 for a late return."""
    return {"pk": (world.rental.statements.filter(version=2).first() or _lined(world)).pk, "number": 1}


def _lined(world: World) -> Statement:
    one = {"code": "LATE", "ref": "return"}
    amounts = {"raw": "50.00", "covered": "0.00", "amount": "50.00", "tax_code": "standard", "tax": "8.33"}
    workings = {**one, "measure": "107 min late", "steps": [], "cover": []}
    result = json.loads(EMPTY) | {"lines": [one | amounts], "workings": [workings]}
    return Statement.objects.create(
        rental=world.rental, version=2, inputs=world.statement.inputs, result=json.dumps(result), rules_version="1",
        digest="3" * 64, total=50, currency="GBP", drawn_up_at=NINE, drawn_up_by=world.walk.started_by,
    )  # fmt: skip


def at_the_counter(kind: str) -> Callable[[World], dict[str, Any]]:
    """A waiver of the line, an objection to it, a reading of the pickup: made once."""

    def where(world: World) -> dict[str, Any]:
        said = {"rental": world.rental, "code": "LATE", "ref": "return", "at": NINE, "by": world.walk.started_by}
        if kind == "objection":
            made = {"statement": world.statement, "words": "The gate was shut."}
            return {"pk": (Objection.objects.first() or Objection.objects.create(**said, **made)).pk}
        if kind == "waiver":
            waiver = Waiver.objects.first() or Waiver.objects.create(**said, percent=5, reason="weather")
            return line(world) | {"waiver": waiver.pk}
        gauge = {"walk": world.walk, "item_id": item(world.walk, "diesel").id, "value": 82}
        reading = Reading.objects.first() or Reading.objects.create(**gauge, at=NINE, by=world.walk.started_by)
        return line(world) | {"reading": reading.pk}

    return where


def tank_of(name: str) -> Callable[[World], dict[str, Any]]:
    """The diesel of the unit; a fill with the photo of its receipt, made once."""

    def where(world: World) -> dict[str, Any]:
        unit = {"number": world.walk.leg.unit.number}
        if name == "fill-receipt":
            gauge = {"unit": world.walk.leg.unit, "instrument_id": item(world.walk, "diesel").id}
            told = gauge | {"before": 0, "after": 1, "litres": 80, "at": NINE, "by": world.walk.started_by}
            told["receipt_photo"] = world.photo.thumb
            return {"pk": (Fill.objects.first() or Fill.objects.create(**told)).pk}
        return unit if name == "tank" else unit | {"code": "diesel"}

    return where


def job_of(name: str) -> Callable[[World], dict[str, Any]]:
    """A job of the unit, with a photo of the work, made once."""

    def where(world: World) -> dict[str, Any]:
        told = {"unit": world.walk.leg.unit, "kind": "other", "name": "Step", "photo": world.photo.thumb}
        made = TurnaroundJob.objects.first() or TurnaroundJob.objects.create(**told, at=NINE, by=world.walk.started_by)
        of_unit = {"number": world.walk.leg.unit.number}
        if name == "let-go":
            return of_unit | {"rental_id": world.rental.pk}
        return of_unit if name in {"unit-jobs", "add-job"} else {"pk": made.pk}

    return where


def picture() -> SimpleUploadedFile:
    data = BytesIO()
    quarters().save(data, "JPEG")
    return SimpleUploadedFile("gauge.jpg", data.getvalue(), "image/jpeg")


SCRATCH = {"kind": "scratch", "part": "door", "place": "door", "size_mm": "40", "x_mm": "-1025", "y_mm": "2600"}
STROKE_TEXT = str(STROKES).replace("'", '"')


def translation(world: World) -> dict[str, Any]:
    """A layout belongs to no branch, and so do its Topics in other languages."""
    topic = Topic.objects.get(code="gas_valves")
    text, _ = TopicText.objects.get_or_create(topic=topic, language="de", defaults={"title": "Gas", "text": "Zu."})
    return {"pk": text.pk}


def photo_pair(world: World) -> dict[str, Any]:
    """The photo beside itself, laid."""
    said = {"state": "aligned", "aligned": world.photo.thumb}
    pair, _ = PhotoPair.objects.get_or_create(out=world.photo, now=world.photo, defaults=said)
    return {"pk": pair.pk}


# The manager's view is of all branches a person is posted to.
INSIGHT_WHERE: dict[str, dict[str, Any]] = {
    "insight-chapter": {"key": "handovers"},
    "insight-answer": {"number": 4},
    "insight-rentals": {"key": "pickup-minutes"},
    "insight-export": {"key": "pickup-minutes", "form": "csv"},
}
INSIGHT = {"insight", "insight-audit", *INSIGHT_WHERE}

ROWS = [
    Row("sign-in", ALL, public=True),
    Row("sign-out", ALL, sent={}),
    Row("me", ALL),
    Row("change-password", ALL),
    Row("keep-pin", ALL, sent={}),
    *(Row(name, ALL) for name in ("ask-second-factor", "prove-password", "second-factor", "add-app", "add-passkey")),
    *(Row(name, ALL) for name in ("recovery-codes", "recovery-codes-file")),
    Row("remove-factor", ALL, lambda world: {"pk": 1}, {}),
    Row("new-recovery-codes", ALL, sent={}),
    Row("end-session", ALL, lambda world: {"pk": uuid7()}, {}),
    Row("end-other-sessions", ALL, sent={}),
    Row("tablets", VERIFY),
    Row("tablet-lost", VERIFY, a_tablet, {}),
    Row("reset-second-factor", ADMIN, lambda world: {"pk": world.walk.started_by_id}),
    Row("people-here", ALL, public=True),
    Row("take-over", ALL, lambda world: {"person_id": world.walk.started_by_id}, public=True),
    Row("lock-tablet", ALL, sent={}),
    Row("home", ALL),
    Row("day-board", ALL, board),
    Row("new-booking", BOOK, lambda world: {"code": world.branch.code}),
    Row("rental", ALL, rental),
    Row("begin-pickup", PICKUP, rental, {}),
    Row("begin-return", SETTLE, rental, {}),
    Row("sell-extra", BOOK, rental, {}),
    Row("walk", ALL, walk),
    Row("station", ALL, station),
    Row("so-far", ALL, coming_back),
    Row("rest-as-before", PICKUP, station, {}),
    Row("answer-check", PICKUP, question("Floor drain clear"), {"word": "good"}),
    Row("take-reading", PICKUP, question("gas_front"), {"typed": "9"}),
    Row("count", PICKUP, question("straps"), {"present": "2"}),
    Row("check-seal", PICKUP, question("first_aid"), {"state": "whole"}),
    Row("hear-topic", PICKUP, question("Gas valves"), {"outcome": "understood"}),
    Row("choose-language", PICKUP, station, {"language": "de"}),
    Row("briefing", SET_UP),
    Row("translations", SET_UP, lambda world: {"layout": "skerry", "language": "de"}),
    *(Row(name, SET_UP, translation, {}) for name in ("approve-translation", "take-translation-back")),
    Row("pin-mark", PICKUP, station, SCRATCH),
    Row("judge-mark", PICKUP, lambda world: station(world) | {"mark_id": world.mark.pk}, {"word": "as_was"}),
    Row("add-photo", PICKUP, station, {"photo": picture}),
    Row("sign-walk", ALL, walk),
    Row("remark", PICKUP, walk, {"text": "It rained."}),
    Row("hand-over", PICKUP, walk, {"name_customer": "Maren", "strokes_customer": STROKE_TEXT}),
    Row("take-back", PICKUP, walk, {}),
    Row("customer-left", PICKUP, walk, {}),
    Row("release-hold", RELEASE, lambda world: {"hold_id": world.hold.pk}, {"reason": "Hose changed, no smell."}),
    Row("photo", ALL, one("photo")),
    Row("photo-page", ALL, one("photo")),
    Row("photo-thumb", ALL, one("photo")),
    Row("mark-on-photo", PICKUP, one("photo"), SCRATCH),
    Row("photo-original", ALL, one("photo")),
    *(Row(name, ALL, photo_pair) for name in ("photo-pair", "photo-laid")),
    Row("statement", ALL, rental),
    Row("statement-version", ALL, lambda world: rental(world) | {"version": 1}),
    Row("draw-up-statement", SETTLE, rental, {}),
    Row("sign-statement", SETTLE, one("statement"), {"strokes": STROKE_TEXT}),
    Row("unsigned-statement", SETTLE, one("statement"), {"outcome": "refused"}),
    Row("settle-statement", SETTLE, one("statement"), {}),
    Row("line", ALL, line),
    Row("waive-line", SETTLE, line, {"percent": "50"}),
    Row("object-line", SETTLE, line, {"words": "The gate was shut."}),
    Row("withdraw-waiver", SETTLE, at_the_counter("waiver"), {"words": "Wrong line"}),
    Row("correct-reading", RELEASE, at_the_counter("reading"), {"typed": "80"}),
    Row("objection", ALL, at_the_counter("objection")),
    Row("read-again", ALL, rental),
    Row("give-credit", SETTLE, one("statement")),
    Row("reopen-statement", RELEASE, one("statement")),
    Row("found", ALL, rental),
    *(Row(f"found-{what}", SETTLE, rental, {}) for what in ("zone", "tanks", "kit", "thing")),
    Row("damages", ALL, rental),
    *(Row(name, SETTLE, rental, {}) for name in ("group-damages", "price-repair")),
    Row("decide-moved", RELEASE, rental, {}),
    Row("cab-card", ALL, rental),
    Row("cab-card-pdf", ALL, rental),
    Row("cab-card-plan", BOOK, rental),
    Row("cab-card-party", BOOK, rental, {"people": "2", "habit": "usual", "drive_h": "1"}),
    Row("cab-card-nights", BOOK, rental, {}),
    Row("customer-links", ALL, rental),
    Row("make-customer-link", SETTLE, rental, {}),
    Row("send-customer-link", SETTLE, a_link, {"to": "maren@example.org"}),
    Row("revoke-customer-link", SETTLE, a_link, {}),
    Row("noticed-photo", ALL, told),
    *(Row(f"customer-{page}", ALL, by_link(), public=True) for page in ("page", "cab-card", "statement", "report")),
    Row("customer-late", ALL, by_link(), public=True),
    Row("customer-topics", ALL, by_link(), public=True),
    Row("customer-record", ALL, by_link("record"), public=True),
    Row("customer-photo", ALL, by_link("photo"), public=True),
    Row("customer-own-photo", ALL, by_link("told"), public=True),
    Row("customer-object", ALL, by_link("line"), public=True),
    *(Row(name, ALL, public=True) for name in ("check", "check-root")),
    Row("record", ALL, one("record")),
    Row("record-check", ALL, one("record")),
    Row("record-pdf", ALL, one("record")),
    Row("make-record-again", SETTLE, one("record"), {}),
    Row("record-lookup", ALL, lambda world: {"number": world.rental.number, "code": "7Q4M-2KXD"}, public=True),
    Row("trip", ALL, rental),
    *(Row(f"trip-{event}", BOOK, rental) for event in ("extension", "fault", "roadside", "excess")),
    *(Row(f"trip-{event}", PICKUP, rental) for event in ("swap", "other-unit")),
    *(Row(f"trip-{event}", SETTLE, rental) for event in ("receipt", "wait", "stop", "displaced", "notice")),
    Row("notice", SETTLE, branch),
    Row("confirm-extension", BOOK, on_the_trip("extension"), {}),
    Row("notice-told", SETTLE, on_the_trip("notice"), {}),
    Row("trip-photo", ALL, on_the_trip("photo")),
    Row("trip-photo-thumb", ALL, on_the_trip("photo")),
    Row("settlement", ALL, rental),
    *(Row(f"settlement-{move}", SETTLE, rental, {}) for move in ("hold", "pay", "refund")),
    *(Row(name, SETTLE, on_the_trip("hold"), {}) for name in ("capture-hold", "release-deposit")),
    Row("settlements", SETTLE, branch),
    Row("settlements-export", SETTLE, branch),
    Row("desk", CARDS, branch),
    Row("paper-sheets", PICKUP, branch),
    Row("print-paper", PICKUP, branch, {}),
    Row("paper-blanks", PICKUP, lambda world: branch(world) | {"first": paper(world).number, "last": 99}),
    Row("key-in-paper", PICKUP, lambda world: {"pk": paper(world).pk}),
    Row("lose-paper", RELEASE, lambda world: {"pk": paper(world).pk}),
    Row("tanks", ALL, branch),
    *(Row(name, ALL, tank_of(name)) for name in ("tank", "tank-of", "fill-receipt")),
    Row("tyres", ALL, tank_of("tank")),
    Row("record-fill", ALL, tank_of("tank-of"), {"before": "1/2", "litres": "40", "after": "full"}),
    *(Row(name, SET_UP, tank_of("tank-of"), {"seen": "1"}) for name in ("use-curve", "use-straight-line")),
    Row("rate-cards", CARDS, branch),
    Row("begin-rate-card", SET_UP, branch, {}),
    Row("import-rate-card", SET_UP, branch, {}),
    Row("rate-card", CARDS, card),
    Row("rate-card-preview", CARDS, card),
    Row("rate-card-csv", CARDS, card),
    Row("publish-rate-card", SET_UP, card, {}),
    Row("delete-rate-card", SET_UP, card, {}),
    Row("disputes", ALL, branch),
    Row("retention", VERIFY, branch),
    Row("retention-terms", "administrator", branch, {"key": str(uuid7()), "name": "400"}),
    *(Row(name, VERIFY, lambda world: {"pk": world.rental.customer_id}) for name in ("person-data", "person-json")),
    Row("erase-person", VERIFY, lambda world: {"pk": world.rental.customer_id}, {}),
    Row("place-hold", VERIFY, rental, {}),
    Row("lift-hold", VERIFY, a_hold, {}),
    *(Row(name, ALL, contested(name)) for name in ("dispute", "dispute-photo", "dispute-letter")),
    Row("decide-dispute", RELEASE, contested("decide-dispute"), {"outcome": "guilty"}),
    Row("hand-on-dispute", SETTLE, contested("hand-on-dispute"), {"waits_for": "customer"}),
    Row("order-bundle", SETTLE, contested("order-bundle"), {"key": str(uuid7())}),
    Row("dispute-bundle", SETTLE, contested("dispute-bundle")),
    Row("dispute-letter-again", SETTLE, contested("dispute-letter-again"), {}),
    Row("open-dispute", SETTLE, line),
    Row("open-chargeback", SETTLE, rental),
    Row("day-seals", VERIFY),
    *(Row(name, VERIFY, a_seal) for name in ("day-seal", "day-seal-check", "day-seal-sheet")),
    Row("day-seal-file", VERIFY, lambda world: a_seal(world) | {"kind": "json"}),
    Row("ledger-extract", VERIFY, rental),
    *(Row(name, VERIFY) for name in sorted(INSIGHT - set(INSIGHT_WHERE))),
    *(Row(name, VERIFY, lambda world, said=said: said) for name, said in INSIGHT_WHERE.items()),
    *(Row(name, ALL, public=True) for name in ("api-reference", "api-openapi")),
    *(Row(name, ADMIN, branch) for name in ("api-access", "api-deliveries")),
    *(Row(name, ADMIN, branch, {}) for name in ("api-make-token", "api-send-all-again")),
    *(Row(name, ADMIN, of_api(name), {}) for name in ("api-revoke-token", "api-stop-webhook", "api-send-again")),
    *(Row(name, ALL, public=True) for name in ("health-live", "health-ready")),
    Row("search", ALL),
    Row("search-export", ALL, lambda world: {"form": "csv"}),
    Row("keep-view", ALL, sent={"name": "Late", "q": "late"}),
    Row("rename-view", VERIFY, a_view, {"name": "Late"}),
    Row("remove-view", VERIFY, a_view, {}),
    *(Row(name, ALL, public=True) for name in ("service-worker", "manifest", "shell", "tablet-hello")),
    Row("tablet-sign-in", ALL, sent={}, public=True),
    Row("tablet-day", ALL),
    Row("tablet-walk", ALL, walk),
    Row("tablet-walk-of-leg", ALL, lambda world: {"leg_id": world.walk.leg_id, "kind": "pickup"}),
    Row("tablet-entries", ALL, sent={}),
    Row("held-entries", ALL),
    *(Row(name, SETTLE, sent={}) for name in ("try-held-again", "set-held-aside")),
    Row("tablet-upload", ALL, lambda world: {"key": world.photo.pk}),
    Row("tablet-people", ALL, public=True),
    Row("tablet-change", ALL, sent={}, public=True),
    Row("tablet-lock", ALL, sent={}),
    Row("admin:index", SET_UP),
    Row("turnaround", ALL, branch),
    Row("unit-jobs", ALL, job_of("unit-jobs")),
    Row("add-job", "host return_bay manager coordinator", job_of("add-job"), sent={"what": "Step"}),
    Row("let-go", "manager", job_of("let-go"), sent={"reason": "Clean enough."}),
    Row("job", ALL, job_of("job")),
    Row("assign-job", "host return_bay manager coordinator", job_of("assign-job"), sent={"to": ""}),
    Row("job-not-needed", "manager coordinator", job_of("job-not-needed"), sent={"reason": "Sold."}),
    Row("job-photo", ALL, job_of("job-photo")),
]
NARROWED = {
    "the world's walk-round is a pickup; at a return the return bay may": {
        "rest-as-before", "answer-check", "take-reading", "count", "check-seal", "hear-topic", "choose-language",
        "pin-mark", "judge-mark", "add-photo", "mark-on-photo", "remark", "hand-over", "take-back", "customer-left",
        "key-in-paper",
    },
    "a reading of the pickup takes a manager; one of the return, whoever settles": {"correct-reading"},
    "one's own view is anybody's; this one is shared": {"rename-view", "remove-view"},
}  # fmt: skip


@pytest.fixture(scope="module")
def world(kept_for_module: None) -> World:
    """Made once, with everybody signed in: no address sees what another has done."""
    both = [BranchFactory(), PortAverilFactory()]
    isla, ruth = PersonFactory(), PersonFactory(username="ruth", role="manager", branches=both)
    people = [PersonFactory(username=role, role=role) for role in ROLES]
    people += [PersonFactory(username=f"{role}-there", role=role, branches=both[1:]) for role in ROLES]
    rental = RentalFactory(number="LK-20418", leg=UnitFactory(odometer_km=41_000))
    walk = start(rental, "pickup", isla)
    answer_check(walk, item=item(walk, "Smell of gas").id, word="bad", act=an_act(isla))
    record = Record.objects.create(
        rental=rental, leg=rental.legs.get(), kind="pickup", code="7Q4M-2KXD", made_at=NINE, state="waiting"
    )
    seen = Hold.objects.get(), _mark(walk, ruth), _photo(walk, isla)
    made = World(rental.branch, rental, walk, *seen, _statement(rental, isla), record, {})
    browsers = {person.username: _signed_in(person) for person in people} | {"customer": _with_the_link(made)}
    made.cookies.update({name: {key: sent.value for key, sent in of.cookies.items()} for name, of in browsers.items()})
    return made


def _signed_in(person: Person) -> Client:
    client = Client()
    client.force_login(person)
    return client


def _with_the_link(world: World) -> Client:
    """A phone that has opened the customer's page."""
    client = Client()
    assert client.get(reverse("customer-topics", kwargs={"token": token_of(link_of(world))})).status_code == 200
    return client


def _mark(walk: WalkRound, by: Person) -> Mark:
    return Mark.objects.create(
        unit=walk.leg.unit, number=7, station_number=2, kind="scratch", place="door", size_mm=40, x_mm=-1025, y_mm=2600,
        found_at=NINE, found_by=by,
    )  # fmt: skip


def _photo(walk: WalkRound, by: Person) -> Photo:
    name = keep(b"\xff\xd8\xff a picture", suffix=".jpg").name
    return Photo.objects.create(
        walk=walk, station_number=2, sent_sha256="0" * 64, kept_sha256="1" * 64, original=name, display=name,
        thumb=name, content_type="image/jpeg", width=4, height=3, size=12, at=NINE, by=by,
    )  # fmt: skip


NOTHING = {"total": "0.00", "tax": "0.00", "balance_due": "0.00", "refund_due": "0.00"}
EMPTY = json.dumps({"totals": NOTHING, "lines": [], "workings": [], "findings": [], "lapsed": [], "derived": {}})


def _statement(rental: Rental, by: Person) -> Statement:
    return Statement.objects.create(
        rental=rental, version=1, inputs='{"tax":{"mode":"inclusive"}}', result=EMPTY, rules_version="1",
        digest="2" * 64, total=0, currency="GBP", drawn_up_at=NINE, drawn_up_by=by,
    )  # fmt: skip


def ask(row: Row, world: World, who: str) -> HttpResponse:
    """From a browser of its own with the cookies of who asks; nobody has none."""
    client = Client()
    client.cookies.load(world.cookies.get(who, {}))
    address = reverse(row.name, kwargs=row.where(world))
    if row.sent is None:
        return client.get(address)  # type: ignore[return-value]
    keys = {name: uuid7() for name in ("key", "settle_key")}
    sent = {name: value() if callable(value) else value for name, value in row.sent.items()}
    return client.post(address, keys | sent)  # type: ignore[return-value]


def is_through(answer: HttpResponse) -> bool:
    """Whatever the act then says of what was sent: only not "not yours", not "not here", not "who are you"."""
    sent_away = any(door in answer.headers.get("Location", "") for door in ("/sign-in/?", "/login/?"))
    return answer.status_code not in {401, 403, 404, 405} and not sent_away


CELLS: Counter[str] = Counter()


@pytest.fixture(scope="module", autouse=True)
def count() -> Iterator[None]:
    """With -s it is said how many cells were tried."""
    yield
    names = ", ".join(f"{CELLS[kind]} {kind}" for kind in CELLS)
    print(f"\n{CELLS.total()} cells of {len(ROWS)} addresses: {names}. 0 surprises.")  # noqa: T201


def is_everywhere(row: Row) -> bool:
    return access_to(row.name, "").reach == Reach.ALL  # type: ignore[union-attr]


def rights_of(row: Row) -> set[str]:
    access = access_to(row.name, "")
    return {role for role in ROLES if access and access.lets_in(Role(role))}


def cell(kind: str, row: Row, world: World, who: str) -> HttpResponse:
    CELLS[kind] += 1
    answer = ask(row, world, who)
    assert_kept_in(answer)
    return answer


@pytest.mark.usefixtures("record_unprinted")
@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)
def test_who_may(row: Row, world: World, db: None) -> None:
    """Five roles at their own branch and at another, nobody, and whoever has the link of a customer."""
    for role in ROLES:
        answer = cell("of another branch", row, world, f"{role}-there")
        expected = 404 if role in rights_of(row) else refused_by(row)
        assert (role in rights_of(row)) == is_through(answer) if is_everywhere(row) else answer.status_code == expected
    answers = {role: cell("of the own branch", row, world, role) for role in ROLES}
    through = [role for role in ROLES if is_through(answers[role])]
    assert through == [role for role in ROLES if role in row.roles.split()]
    refused = {answers[role].status_code for role in ROLES if role not in row.roles.split()}
    assert refused <= {refused_by(row)}
    assert is_through(cell("of nobody", row, world, "nobody")) == row.public
    assert is_through(cell("of a customer", row, world, "customer")) == row.public


def refused_by(row: Row) -> int:
    """The desk of setting up sends to its door, which then says no."""
    return 302 if row.name == "admin:index" else 403


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)
def test_the_table_says_the_same(row: Row) -> None:
    """A row may let in fewer than its address does: then it is said above why."""
    access = access_to(row.name, "")
    assert access
    assert row.public == (access.door in {Door.PUBLIC, Door.LINK})
    assert (set(row.roles.split()) == rights_of(row)) == (row.name not in set().union(*NARROWED.values()))
    assert set(row.roles.split()) <= rights_of(row)


def test_the_setting_up_desk_says_who_may(as_isla: Client) -> None:
    answer = as_isla.get(reverse("admin:index"), follow=True)
    assert answer.status_code == 403
    assert "Setting up belongs to the fleet coordinator and the administrator." in answer.text


def test_every_address_stands_in_a_row() -> None:
    """Of the desk its front door; its other pages are tried in tests/fleet/test_admin_roles.py, operations of the API
    with tokens in tests/api/test_who_may.py, the metrics in tests/running/test_metrics.py."""
    doors = {address.name: access_to(address.name, address.route) for address in addresses()}
    named = {name for name, access in doors.items() if access not in {PROGRAMS, SETTING_UP, Access(Door.TOKEN)}}
    assert named - {row.name for row in ROWS} == set()


def test_the_table_has_no_row_of_an_address_that_is_not_there() -> None:
    assert set(TABLE) - {address.name for address in addresses()} == set()


def test_no_address_stands_outside_the_table() -> None:
    assert unlisted() == []


def test_views_say_of_themselves_what_the_table_says() -> None:
    """Who has no need to sign in is let through by both or by none."""
    for address in addresses():
        access = access_to(address.name, address.route)
        if access and not address.name.startswith("admin:"):
            assert (access.door == Door.PERSON) == getattr(address.pattern.callback, "login_required", True), address


def test_an_address_of_no_row_opens_for_nobody(as_isla: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shared.access.gate.access_to", lambda name, route: None)
    answer = as_isla.get("/me/")
    assert answer.status_code == 403
    assert "it opens for nobody" in answer.text
    assert [problem.id for problem in every_address_stands_in_the_table(None)][:1] == ["levelpeg.E010"]


def test_a_view_that_forgets_to_ask_is_closed_all_the_same(rf: Any, callum: Person) -> None:
    """The table is held to before the view: here one that would answer everybody."""
    request = rf.get("/day-seals/")
    request.user, request.resolver_match = callum, resolve("/day-seals/")
    with pytest.raises(NotAllowed, match="cannot do this"):
        check_right(access_for(request), request)


def test_the_command_prints_the_table(capsys: pytest.CaptureFixture[str]) -> None:
    call_command("access_matrix")
    text = capsys.readouterr().out
    (line,) = [line for line in text.splitlines() if line.startswith("release-hold ")]
    assert line.split()[1:] == ["/hold/<uuid:hold_id>/release/", *"··●·····", "release"]
    call_command("access_matrix", "--json")
    rows = {row["name"]: row for row in json.loads(capsys.readouterr().out)}
    assert len(rows) == len({address.name for address in addresses()})
    assert rows["customer-page"]["link"]
    assert rows["tablets"]["other"] == {role: role in VERIFY.split() for role in ROLES}
