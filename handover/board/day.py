"""The day as it is drawn: pegs on both sides of the staff, each at its time, none over another."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

from django.utils.safestring import SafeString, mark_safe
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from fleet.drawing.day_staff import DayStaff, day_staff, day_staff_svg, places
from handover.board.words import Known, Said, pickup_said, planned_text, return_said
from handover.rental.models import Rental
from shared.dates import clock_text

OPENS = time(8)


@dataclass(frozen=True, slots=True)
class Peg:
    """One rental at its time. `place` counts the quarter hours from the top of the staff."""

    rental: Rental
    unit: str
    planned: datetime
    time: str
    said: Said
    place: int


@dataclass(frozen=True, slots=True)
class Neighbour:
    """The day before or after, and what goes out and comes back on it."""

    day: date
    out: int
    back: int


@dataclass(frozen=True, slots=True)
class DayBoard:
    day: date
    staff: DayStaff
    drawing: SafeString
    pickups: tuple[Peg, ...]
    returns: tuple[Peg, ...]
    before: Neighbour
    after: Neighbour

    @property
    def gone(self) -> int:
        return _count(self.pickups, "done")

    @property
    def held(self) -> int:
        return _count(self.pickups, "held")

    @property
    def settled(self) -> int:
        return _count(self.returns, "done")

    @property
    def late(self) -> int:
        """A return's lead says how late it is, in whatever language."""
        return sum(bool(peg.said.lead) for peg in self.returns)


def _count(pegs: Sequence[Peg], state: str) -> int:
    return sum(peg.said.state == state for peg in pegs)


def arranged(
    day: date, goes: Sequence[Known], comes: Sequence[Known], neighbours: tuple[Neighbour, Neighbour], *,
    now: datetime | None,
) -> DayBoard:  # fmt: skip
    """`goes` and `comes` in order of time; `now` only on the day itself."""
    out = [_moment(known.rental.planned_out_at, day) for known in goes]
    back = [_moment(known.rental.planned_back_at, day) for known in comes]
    staff = day_staff(out, back)
    clock_now = localtime(now).time() if now else None
    drawing = day_staff_svg(staff, label=_label(staff, clock_now), now=clock_now)
    return DayBoard(
        day=day,
        staff=staff,
        drawing=mark_safe(drawing),  # noqa: S308 - drawn here from numbers and times
        pickups=_pegs(goes, places(staff, out), pickup_said, lambda row: row.planned_out_at, day),
        returns=_pegs(comes, places(staff, back), return_said, lambda row: row.planned_back_at, day),
        before=neighbours[0],
        after=neighbours[1],
    )


def _moment(planned: datetime, day: date) -> time:
    """What was due on an earlier day stands at the head of today."""
    when = localtime(planned)
    return when.time() if when.date() == day else OPENS


def _label(staff: DayStaff, now: time | None) -> str:
    hours = _("Hours from %(first)s to %(last)s") % {
        "first": staff.first_hour,
        "last": staff.first_hour + staff.hours,
    }
    return _("%(hours)s; now %(now)s") % {"hours": hours, "now": clock_text(now)} if now else hours


def _pegs(
    side: Sequence[Known], quarters: Sequence[int], say: Callable[[Known], Said], planned: Callable[[Rental], datetime],
    day: date,
) -> tuple[Peg, ...]:  # fmt: skip
    return tuple(
        Peg(
            rental=known.rental,
            unit=known.leg.unit.number,
            planned=planned(known.rental),
            time=planned_text(planned(known.rental), day),
            said=say(known),
            place=quarter,
        )
        for known, quarter in zip(side, quarters, strict=True)
    )
