"""What people do, one step a function, by pressing what the pages offer them. Times are the branch's own."""

import json
from collections.abc import Iterable
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from fleet.models import PhotoView
from handover.rental.models import Rental
from handover.statement.models import Statement
from handover.walkround.document import shown_digest
from handover.walkround.models import Mark, WalkRound
from shared.access.models import Person
from shared.ids import uuid7
from tests.playing import STROKES, item

DRAWN = json.dumps(STROKES)
HERE = ZoneInfo("Europe/London")
LEFT = {"diesel": "82", "gas_front": "11.7", "odometer": "66300 km"}
CAME_BACK = {"diesel": "82", "gas_front": "11.7", "odometer": "66700 km"}
DOOR = {"kind": "scratch", "part": "door", "place": "left door", "size_mm": "120", "x_mm": "-1025", "y_mm": "2600"}
REAR = {"kind": "scratch", "part": "bumper", "place": "left rear", "size_mm": "200", "x_mm": "-300", "y_mm": "5900"}


def at(text: str) -> datetime:
    """14 Aug 2026 09:00 as the branch's clock shows it."""
    return datetime.strptime(text, "%d %b %Y %H:%M").replace(tzinfo=HERE)


def left_door(rental: Rental) -> PhotoView:
    """The view of its left door, which its first station asks for."""
    station = rental.legs.get().unit.layout.stations.get(number=1)
    return PhotoView.objects.create(
        station=station, code="left_door", name="Left door", eye_x_mm=-2225, eye_y_mm=2600, aim_x_mm=-1025,
        aim_y_mm=2600,
    )  # fmt: skip


def wall(text: str) -> str:
    """As a field of date and time holds it."""
    return f"{at(text):%Y-%m-%dT%H:%M}"


def browser_of(person: Person) -> Client:
    client = Client()
    client.force_login(person)
    return client


def tries(person: Person, page: str, /, *args: Any, **typed: Any) -> HttpResponse:
    """Presses a form of a page, with the keys that the page gave it."""
    keys = {key: str(uuid7()) for key in ("key", "price_key", "settle_key")}
    return browser_of(person).post(reverse(page, args=args), keys | typed)  # type: ignore[return-value]


def does(person: Person, page: str, /, *args: Any, **typed: Any) -> HttpResponse:
    """As tries(), and it goes through."""
    answer = tries(person, page, *args, **typed)
    assert answer.status_code == 302, page_of(answer).partition("<main")[2]
    return answer


def sees(person: Person, name: str, *args: Any) -> str:
    """The words of a page that the person may open."""
    answer = browser_of(person).get(reverse(name, args=args))
    assert answer.status_code == 200
    return page_of(answer)


def page_of(answer: Any) -> str:
    """As text: the apostrophes that it escapes, the narrow spaces in its figures and its line breaks are plain."""
    text = answer.content.decode().replace("&#x27;", "'").replace("\u202f", " ")
    return " ".join(text.split())


def begins_pickup(host: Person, rental: Rental) -> WalkRound:
    does(host, "begin-pickup", rental.pk)
    return walk_of(rental, "pickup")


def walk_of(rental: Rental, kind: str) -> WalkRound:
    """The latest of the kind."""
    return WalkRound.objects.filter(leg__rental=rental, kind=kind).latest("leg__number")


def station_with(walk: WalkRound, code: str) -> int:
    asked = item(walk, code)
    for station in walk.sheet.data.stations:
        of_it = (*station.instruments, *station.kits, *station.counts, *station.checks, *station.topics)
        if asked.id in {getattr(ask, "id", None) for ask in of_it}:
            return station.number
    raise LookupError(code)


def reads(host: Person, walk: WalkRound, **typed: str) -> None:
    for code, text in typed.items():
        does(host, "take-reading", walk.pk, station_with(walk, code), item(walk, code).id, typed=text)


def finds(host: Person, walk: WalkRound, **mark: str) -> Mark:
    """Pins a mark on the plan at station 1."""
    does(host, "pin-mark", walk.pk, 1, **mark)
    return Mark.objects.latest("found_at", "number")


def photographs(host: Person, walk: WalkRound, shot: bytes, *, of: Any = "") -> None:
    file = SimpleUploadedFile("shot.jpg", shot, content_type="image/jpeg")
    does(host, "add-photo", walk.pk, 1, photo=file, subject=str(of))


def explains_topics(host: Person, walk: WalkRound) -> None:
    for station in walk.sheet.data.stations:
        for topic in station.topics:
            does(host, "hear-topic", walk.pk, station.number, topic.id, outcome="understood", seconds="20")


def hands_over(host: Person, walk: WalkRound) -> None:
    """Both have signed what the page shows."""
    signed = {"name_customer": walk.leg.rental.customer.name, "strokes_customer": DRAWN, "strokes_staff": DRAWN}
    does(host, "hand-over", walk.pk, **signed, seen_sha256=shown_digest(walk))


def goes(host: Person, rental: Rental, **typed: str) -> WalkRound:
    """A whole pickup: begun, read, explained, signed, gone."""
    walk = begins_pickup(host, rental)
    reads(host, walk, **(LEFT | typed))
    explains_topics(host, walk)
    hands_over(host, walk)
    return walk


def begins_return(host: Person, rental: Rental, **how: str) -> WalkRound:
    """The customer stands there, unless `how` says otherwise."""
    now = f"{timezone.now().astimezone(HERE):%Y-%m-%dT%H:%M}"
    does(host, "begin-return", rental.pk, **({"mode": "attended", "arrived_at": now} | how))
    return walk_of(rental, "return")


def takes_back(host: Person, walk: WalkRound) -> None:
    does(host, "take-back", walk.pk)


def comes_back(host: Person, rental: Rental, *marks: dict[str, str], **typed: str) -> WalkRound:
    """A whole return with these marks."""
    walk = begins_return(host, rental)
    reads(host, walk, **(CAME_BACK | typed))
    for mark in marks:
        finds(host, walk, **mark)
    takes_back(host, walk)
    return walk


def quotes(host: Person, rental: Rental, mark: Mark, amount: str, basis: str = "estimate") -> None:
    said = {"mark": mark.pk, "basis": basis, "amount": amount, "reference": "Workshop 118"}
    does(host, "price-repair", rental.pk, **said)


def draws_up(host: Person, rental: Rental) -> Statement:
    does(host, "draw-up-statement", rental.pk)
    return latest(rental)


def latest(rental: Rental) -> Statement:
    return rental.statements.latest("version")


def signs(host: Person, rental: Rental, *roles: str) -> Statement:
    """The staff's signature, which comes last, settles."""
    for role in roles or ("customer", "staff"):
        row = latest(rental)
        name = row.rental.customer.name
        does(host, "sign-statement", row.pk, role=role, name=name, strokes=DRAWN, seen_sha256=row.digest)
    rental.refresh_from_db()
    return latest(rental)


def lines(statement: Statement) -> dict[str, str]:
    """Each line's amount by its code and ref, such as FUEL 407."""
    rows: Iterable[dict[str, str]] = json.loads(statement.result)["lines"]
    return {f"{row['code']} {row['ref']}".strip(): row["amount"] for row in rows}


def inputs(statement: Statement) -> Any:
    return json.loads(statement.inputs)
