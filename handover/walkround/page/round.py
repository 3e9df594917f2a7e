"""The left side of every page of a walk-round: the plan as the way round, and how far it has come."""

from dataclasses import dataclass
from datetime import datetime

from django.utils.safestring import SafeString

from handover.walkround.models import Hold
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
    walk, sheet = seen.walk, seen.walk.sheet.data
    held = [row.number for row in sheet.stations if hold_at(seen, row)]
    states = states_of(sheet, walk.kind, seen.now, held=held)
    counted = list(states.values())
    return Round(
        plan=plan_svg(seen, states, here),
        done=counted.count("done"),
        of=len(counted),
        part=counted.count("part") + counted.count("wait"),
        minutes=int(((walk.finished_at or now) - walk.started_at).total_seconds() // 60),
        new_marks=len(seen.new_marks),
    )


def hold_at(seen: Seen, station: StationSheet) -> Hold | None:
    checks = {ask.id for ask in station.checks}
    return next((hold for hold in seen.open_holds if hold.answer.item_id in checks), None)
