"""How many minutes late a unit came back, by the clock that was agreed."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from handover.charges.document.case import Case
from handover.charges.document.kinds import Moment
from handover.charges.document.rental import Rental
from handover.charges.document.time_rates import LateRate
from handover.charges.rules.opening import closed_days_between, minutes_of, next_opening, outside_hours

MINUTE = timedelta(minutes=1)
A_DAY = 1440


@dataclass(frozen=True, slots=True)
class Clocked:
    """Minutes on one clock: between the agreed and the counted return, and what of them does not count."""

    name: str
    between: int
    closed: int
    waited: int

    @property
    def late(self) -> int:
        return max(0, self.between - self.closed - self.waited)


@dataclass(frozen=True, slots=True)
class Lateness:
    """From when to when lateness ran. `deemed` is the opening at which a key drop counts as returned."""

    due: Moment
    end: Moment
    deemed: Moment | None
    dropped_outside: bool
    clocked: Clocked


def lateness(case: Case, rate: LateRate) -> Lateness | None:
    """None while the unit is not back.

    A drop outside the hours is deemed at the next opening. `deemed_for` risk: the deemed time carries the risk
    alone, and lateness is counted to the drop itself, in the customer's favour whenever the drop was.
    A report of theft or breakdown, or the operator's instruction, stops the count.
    """
    if case.rental.returned_at is None:
        return None
    zone = ZoneInfo(case.time_zone)
    back = _came_back(case.rental, rate, case.rental.returned_at)
    outside = outside_hours(rate, back) and (case.rental.return_method == "key_drop" or back is case.rental.arrived_at)
    deemed = next_opening(rate, back, zone) if outside and rate.after_hours == "deemed_next_opening" else None
    end = back if deemed is None or rate.deemed_for == "risk" else deemed
    if case.rental.stops_at is not None and case.rental.stops_at.at.utc < end.utc:
        end = case.rental.stops_at.at
    dropped_outside = outside and case.rental.return_method == "key_drop"
    return Lateness(case.rental.due_back, end, deemed, dropped_outside, _clocked(case, rate, end, zone))


def _came_back(rental: Rental, rate: LateRate, returned: Moment) -> Moment:
    """Arrival in the queue inside the hours counts as arrival, not the minute the host was free."""
    if rental.arrived_at is None or rental.return_method == "key_drop" or outside_hours(rate, rental.arrived_at):
        return returned
    return rental.arrived_at


def _clocked(case: Case, rate: LateRate, end: Moment, zone: ZoneInfo) -> Clocked:
    due = case.rental.due_back
    closed = () if rate.charge_closed_days else tuple(closed_days_between(rate, due, end))
    elapsed = Clocked(
        "elapsed",
        _minutes(due.utc, end.utc),
        sum(minutes_of(day, zone) for day in closed),
        _waited([(wait.start.utc, wait.end.utc) for wait in case.rental.operator_waits], due.utc, end.utc),
    )
    wall = Clocked(
        "wall",
        _minutes(due.local, end.local),
        A_DAY * len(closed),
        _waited([(wait.start.local, wait.end.local) for wait in case.rental.operator_waits], due.local, end.local),
    )
    if rate.clock == "lower_of_both":
        return min(elapsed, wall, key=lambda clocked: clocked.late)
    return wall if rate.clock == "wall" else elapsed


def _minutes(start: datetime, end: datetime) -> int:
    """Whole minutes; a minute begun is not one gone."""
    return max(0, (end - start) // MINUTE)


def _waited(waits: list[tuple[datetime, datetime]], start: datetime, end: datetime) -> int:
    """Minutes between start and end in which the customer waited on the operator, no minute twice."""
    total, reached = 0, start
    for begins, ends in sorted(waits):
        first, last = max(begins, reached), min(ends, end)
        if last > first:
            total += -((first - last) // MINUTE)
            reached = last
    return total
