"""The left side of every page of a walk-round: the plan as the way round, and how far it has come."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.utils.safestring import SafeString

from fleet.drawing.model import StationState
from handover.walkround.models import Hold, WalkRound
from handover.walkround.page.plan import plan_svg
from handover.walkround.progress import states_of
from handover.walkround.queries import Seen
from handover.walkround.sheet import StationSheet


@dataclass(frozen=True, slots=True)
class Round:
    """The left side: plan, how many stations are done, how long it has taken."""

    plan: SafeString
    done: int
    of: int
    part: int
    minutes: int
    new_marks: int


def round_of(seen: Seen, here: StationSheet | None, *, now: datetime) -> Round:
    walk, states = seen.walk, states_at(seen)
    counted = list(states.values())
    return Round(
        plan=plan_svg(seen, states, here),
        done=counted.count("done"),
        of=len(counted),
        part=counted.count("part") + counted.count("wait"),
        minutes=int(((walk.finished_at or now) - walk.started_at).total_seconds() // 60),
        new_marks=len(seen.new_marks),
    )


def states_at(seen: Seen) -> dict[int, StationState]:
    """Each station's state by its number: todo, part, done or wait."""
    sheet = seen.walk.sheet.data
    held = [row.number for row in sheet.stations if hold_at(seen, row)]
    return states_of(sheet, seen.walk.kind, seen.now, held=held)


def hold_at(seen: Seen, station: StationSheet) -> Hold | None:
    """The first that keeps the unit here at this station; the load is shown where the walk begins."""
    here = subjects_at(seen.walk, station)
    return next((hold for hold in seen.open_holds if hold.subject in here), None)


def subjects_at(walk: WalkRound, station: StationSheet) -> set[UUID]:
    """Ids of what is asked at a station and can hold the unit; the leg, which stands for its load, at the first."""
    checks, instruments, kits = station.checks, station.instruments, station.kits
    asked = {*(ask.id for ask in checks), *(ask.id for ask in instruments), *(ask.id for ask in kits)}
    is_first = station.number == walk.sheet.data.stations[0].number
    return asked | ({walk.leg_id} if is_first else set())


def station_of_hold(walk: WalkRound, hold: Hold) -> int:
    """The number of the station that asks what holds it."""
    return next(row.number for row in walk.sheet.data.stations if hold.subject in subjects_at(walk, row))
