"""Plays walk-rounds through the actions, for tests that begin where something is out or back."""

from contextlib import AbstractContextManager
from datetime import datetime, timedelta
from typing import Any

from django.test import TestCase

from handover.rental.models import Rental
from handover.turnaround.models import TurnaroundJob
from handover.walkround import actions
from handover.walkround.document import shown_digest
from handover.walkround.models import WalkRound
from shared.access.models import Person
from tests.factories import BACK_AT, NINE, an_act

STROKES = [[{"x": 10, "y": 80, "t": 0}, {"x": 60, "y": 20, "t": 90}, {"x": 110, "y": 84, "t": 170}]]


def as_committed() -> AbstractContextManager[Any]:
    """Within it what is ordered is made, as after a commit; what that orders too."""
    return TestCase.captureOnCommitCallbacks(execute=True)


def yard_done(rental: Rental, by: Person, at: datetime) -> None:
    """What the return before left to do is done."""
    jobs = TurnaroundJob.objects.filter(unit__legs__rental=rental, closed_at=None)
    jobs.update(outcome="done", closed_at=at, closed_by=by)


def start(rental: Rental, kind: str, by: Person, *, at: datetime = NINE, **said: Any) -> WalkRound:
    if kind == "pickup":
        yard_done(rental, by, at)
    return actions.start_walk(rental.legs.last(), kind=WalkRound.Kind(kind), act=an_act(by, at=at), **said)


def item(walk: WalkRound, code: str) -> Any:
    """What the sheet asks under this code or text."""
    for station in walk.sheet.data.stations:
        for ask in (*station.instruments, *station.kits, *station.counts):
            if ask.code == code:
                return ask
        for question in (*station.checks, *station.topics):
            if code in {getattr(question, "text", ""), getattr(question, "title", "")}:
                return question
    raise LookupError(code)


def read(walk: WalkRound, by: Person, at: datetime, **typed: str) -> None:
    for code, text in typed.items():
        actions.take_reading(walk, item=item(walk, code).id, typed=text, act=an_act(by, at=at))


def go(rental: Rental, by: Person, *, at: datetime = NINE, **typed: str) -> WalkRound:
    """Pickup with these readings, topics heard, signed and gone."""
    walk = start(rental, "pickup", by, at=at)
    read(walk, by, at, **typed)
    leave(walk, by, at=at)
    rental.refresh_from_db()
    return walk


def leave(walk: WalkRound, by: Person, *, at: datetime = NINE) -> None:
    """The end of a pickup under way: topics heard, signed and gone."""
    for station in walk.sheet.data.stations:
        for topic in station.topics:
            actions.hear_topic(walk, item=topic.id, outcome="understood", seconds=20, act=an_act(by, at=at))
    sign(walk, by, at)
    actions.finish(walk, act=an_act(by, at=at))


def sign(walk: WalkRound, by: Person, at: datetime) -> None:
    seen = shown_digest(walk)
    for role in ("customer", "staff"):
        actions.sign_walk(walk, role=role, name=role, strokes=STROKES, seen_sha256=seen, act=an_act(by, at=at))


def come_back(
    rental: Rental, by: Person, *, at: datetime = BACK_AT + timedelta(minutes=107), seal: str = "whole", **typed: str
) -> WalkRound:
    """Return at this time with these readings; the first aid kit's seal as said."""
    walk = start(rental, "return", by, at=at, arrived_at=at)
    read(walk, by, at, **typed)
    kit = item(walk, "first_aid")
    actions.check_seal(walk, item=kit.id, state=seal, seal_number="93412", act=an_act(by, at=at))
    actions.finish(walk, act=an_act(by, at=at))
    rental.refresh_from_db()
    return walk
