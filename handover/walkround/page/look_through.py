"""What is looked through before signing: first what is open or not as it should be, then everything answered."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.utils.safestring import SafeString
from django.utils.translation import gettext

from handover.rental.models import Rental
from handover.walkround.answers import NOTHING
from handover.walkround.document import Found, digest_of, walk_document
from handover.walkround.models import WalkRound
from handover.walkround.page.figures import is_level, level_of, outcome, spoken, sums
from handover.walkround.page.plan import station_address
from handover.walkround.page.round import Round, round_of, station_of_hold
from handover.walkround.page.rows import MarkRow, mark_rows
from handover.walkround.page.since_signed import Unsigned, since_signed
from handover.walkround.page.sticks import lying_stick
from handover.walkround.page.trouble import Trouble
from handover.walkround.progress import still_open
from handover.walkround.queries import Seen, may_answer
from shared.access.models import Person
from shared.access.roles import Right
from shared.phrasebook import said

BESIDE_ITS_NAME = 216
UNSEEN = {"not_inspected", "not_read", "not_applicable"}


@dataclass(frozen=True, slots=True)
class Place:
    """A station with sentences about it."""

    number: int
    name: str
    address: str
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LevelLine:
    name: str
    stick: SafeString
    result: str


@dataclass(frozen=True, slots=True)
class Held:
    """What keeps the unit here, and the station where it can be put right or released."""

    sentence: str
    address: str


@dataclass(frozen=True, slots=True)
class LookThrough:
    seen: Seen
    round: Round
    stations: list[dict[str, Any]]
    remarks: list[dict[str, Any]]
    still_open: list[Place]
    noted: list[Place]
    levels: list[LevelLine]
    marks: list[MarkRow]
    holds: list[Held]
    unsigned: list[Unsigned]
    sha256: str
    can_answer: bool
    can_release: bool
    trouble: Trouble | None

    @property
    def walk(self) -> WalkRound:
        return self.seen.walk

    @property
    def rental(self) -> Rental:
        return self.seen.walk.leg.rental

    @property
    def back_to(self) -> str:
        return station_address(self.walk, self.walk.sheet.data.stations[-1].number)


def look_through(seen: Seen, person: Person, *, now: datetime, trouble: Trouble | None = None) -> LookThrough:
    found = _found(seen)
    document = walk_document(found)
    sheet = seen.walk.sheet.data
    return LookThrough(
        seen=seen,
        round=round_of(seen, None, now=now),
        stations=document["stations"],
        remarks=document["remarks"],
        still_open=list(_open_places(seen)),
        noted=list(_noted_places(seen, document["stations"])),
        levels=list(_levels(seen)),
        marks=[
            row for station in sheet.stations for row in mark_rows(seen, station, None) if row.is_new or row.size_now
        ],
        holds=[
            Held(hold.sentence, station_address(seen.walk, station_of_hold(seen.walk, hold)))
            for hold in seen.open_holds
        ],
        unsigned=since_signed(seen),
        sha256=digest_of(found, document),
        can_answer=may_answer(seen.walk, person),
        can_release=person.may(Right.RELEASE),
        trouble=trouble,
    )


def _found(seen: Seen) -> Found:
    """As the signature is bound to it, without asking the database again."""
    return Found(
        walk=seen.walk,
        now=seen.now,
        out=seen.before if seen.walk.is_return else NOTHING,
        holds={hold.subject: hold for hold in seen.holds},
        photos=[photo for photo in seen.photos if photo.walk_id == seen.walk.pk],
        marks={mark.pk: mark for mark in seen.unit_marks},
    )


def _open_places(seen: Seen) -> Iterator[Place]:
    for station in seen.walk.sheet.data.stations:
        if words := still_open(station, seen.walk.kind, seen.now):
            yield Place(station.number, station.name, station_address(seen.walk, station.number), (words,))


def _noted_places(seen: Seen, stations: list[dict[str, Any]]) -> Iterator[Place]:
    for station in stations:
        if words := tuple(_noted(seen, station)):
            number = station["number"]
            yield Place(number, station["name"], station_address(seen.walk, number), words)


def _noted(seen: Seen, station: dict[str, Any]) -> Iterator[str]:
    """What is not as it should be, or was not looked at: the customer's eye belongs here."""
    for check in station["checks"]:
        if check["state"] == "bad" or check["state"] in UNSEEN:
            yield ": ".join(filter(None, (check["text"], said(check["answer"]).lower(), check["note"])))
    for reading in station["readings"]:
        if reading["state"] in UNSEEN:
            yield f"{said(reading['name'])}: {said(reading['state'].replace('_', ' '))}"
    for count in station["counts"]:
        if count["at"] and count["found"] != count["expected"]:
            found = (
                gettext("not counted")
                if count["found"] is None
                else gettext("%(found)s of %(expected)s") % {"found": count["found"], "expected": count["expected"]}
            )
            yield f"{count['name']}: {found}"
    for seal in station["seals"]:
        if seal["state"] not in {"open", "whole"}:
            used = gettext(", used: %(used)s") % {"used": ", ".join(seal["used"])} if seal["used"] else ""
            yield f"{seal['kit']}: {said(seal['state'].replace('_', ' '))}{used}"
    yield from _not_heard(station)


def _not_heard(station: dict[str, Any]) -> Iterator[str]:
    """What was declined, and what nobody spoke about, each by its title."""
    for topic in station["topics"]:
        if topic["outcome"] == "declined":
            yield gettext("%(topic)s: declined") % {"topic": topic["title"]}
        elif topic["outcome"] == "skipped":
            yield gettext("%(topic)s: skipped, not spoken about") % {"topic": topic["title"]}


def _levels(seen: Seen) -> Iterator[LevelLine]:
    """Each level that was read, lying, with what came of it at return."""
    is_return = seen.walk.is_return
    for _, ask in seen.walk.sheet.data.instruments():
        now, before = seen.now.readings.get(ask.id), seen.before.readings.get(ask.id)
        if not is_level(ask) or level_of(ask, now) is None:
            continue
        out, back = (before, now) if is_return else (now, None)
        left, came = level_of(ask, out), level_of(ask, back)
        result = outcome(ask, sums(ask, left, came)) if left is not None and came is not None else ""
        yield LevelLine(spoken(ask), lying_stick(ask, out, back, width=BESIDE_ITS_NAME), result)
