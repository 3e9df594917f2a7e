"""How far a walk-round has come: what is asked at a station, what of it is still open."""

from collections import Counter
from collections.abc import Collection, Iterator
from uuid import UUID

from django.utils.translation import ngettext_lazy

from fleet.drawing.model import StationState
from handover.walkround.answers import Answers
from handover.walkround.models import WalkRound
from handover.walkround.sheet import SheetData, StationSheet

WORDS = {
    "reading": ngettext_lazy("%(count)d reading", "%(count)d readings", "count"),
    "check": ngettext_lazy("%(count)d check", "%(count)d checks", "count"),
    "count": ngettext_lazy("%(count)d count", "%(count)d counts", "count"),
    "seal": ngettext_lazy("%(count)d seal", "%(count)d seals", "count"),
    "topic": ngettext_lazy("%(count)d topic", "%(count)d topics", "count"),
    "photo": ngettext_lazy("%(count)d photo", "%(count)d photos", "count"),
}


def asked_at(station: StationSheet, kind: str) -> Iterator[tuple[str, UUID]]:
    """Kind and id of each question. A mark looked at again is welcome, never asked for."""
    here = {"both", kind}
    yield from (("reading", ask.id) for ask in station.instruments if ask.at in here)
    yield from (("check", ask.id) for ask in station.checks if ask.at in here)
    yield from (("count", ask.id) for ask in station.counts)
    yield from (("seal", ask.id) for ask in station.kits)
    if kind == WalkRound.Kind.PICKUP:
        yield from (("topic", ask.id) for ask in station.topics)
    yield from (("photo", ask.subject) for ask in station.views if ask.at in here)


def is_answered(now: Answers, word: str, question: UUID) -> bool:
    if word == "photo":
        return question in now.photographed
    return any(question in kept for kept in (now.readings, now.checks, now.counts, now.seals, now.topics))


def still_open(station: StationSheet, kind: str, now: Answers) -> str:
    """1 reading, 2 checks; empty when everything has its answer."""
    counted = Counter(word for word, question in asked_at(station, kind) if not is_answered(now, word, question))
    return ", ".join(_counted(word, counted[word]) for word in WORDS if counted[word])


def _counted(word: str, number: int) -> str:
    return WORDS[word] % {"count": number}


def open_words(station: StationSheet, kind: str) -> dict[str, list[str]]:
    """How any number of open questions of this station is said: {"check": ["1 check", "2 checks"]}."""
    asked = Counter(word for word, _ in asked_at(station, kind))
    return {word: [_counted(word, number + 1) for number in range(most)] for word, most in asked.items()}


def state_of(station: StationSheet, kind: str, now: Answers) -> StationState:
    given = [is_answered(now, word, question) for word, question in asked_at(station, kind)]
    if all(given):
        return "done"
    return "part" if any(given) else "todo"


def states_of(sheet: SheetData, kind: str, now: Answers, *, held: Collection[int] = ()) -> dict[int, StationState]:
    """By station number; `held` are the stations that wait for a release."""
    return {
        station.number: "wait" if station.number in held else state_of(station, kind, now) for station in sheet.stations
    }


def goes_on_at(sheet: SheetData, kind: str, now: Answers) -> int:
    """The first station in the order of the feet with something open; the last when nothing is."""
    return next(
        (station.number for station in sheet.stations if state_of(station, kind, now) != "done"),
        sheet.stations[-1].number,
    )
