"""When the branch is open, and when it opens next, by its local clock."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from handover.charges.document.kinds import Moment
from handover.charges.document.time_rates import WEEKDAYS, LateRate

A_YEAR = 366


def hours_on(rate: LateRate, day: date) -> tuple[tuple[time, time], ...]:
    """The branch's opening and closing times of one day; none on a closed one."""
    if day in rate.closed_dates or rate.opening_hours is None:
        return ()
    times = rate.opening_hours.get(WEEKDAYS[day.weekday()], ())
    return tuple(zip(times[::2], times[1::2], strict=True))


def is_closed(rate: LateRate, day: date) -> bool:
    """Whether the branch is closed all that day; only the closed dates tell where no hours are given."""
    if rate.opening_hours is None:
        return day in rate.closed_dates
    return not hours_on(rate, day)


def outside_hours(rate: LateRate, at: Moment) -> bool:
    """Whether the branch was closed at that minute; closing time itself is inside. Unknown hours are never outside."""
    if rate.opening_hours is None:
        return False
    now = at.local.time().replace(second=0)
    return not any(opens <= now <= closes for opens, closes in hours_on(rate, at.local.date()))


def next_opening(rate: LateRate, after: Moment, zone: ZoneInfo) -> Moment:
    """The first opening after a time outside the hours; that time itself if the branch never opens within a year."""
    for opens in _openings(rate, after.local.date()):
        if opens > after.local:
            return Moment(opens, opens.replace(tzinfo=zone).astimezone(UTC))
    return after


def _openings(rate: LateRate, first: date) -> Iterator[datetime]:
    for number in range(A_YEAR):
        day = first + timedelta(days=number)
        for opens, _ in hours_on(rate, day):
            yield datetime.combine(day, opens)


def closed_days_between(rate: LateRate, start: Moment, end: Moment) -> Iterator[date]:
    """Whole local dates strictly between the two on which the branch is closed."""
    day = start.local.date() + timedelta(days=1)
    while day < end.local.date():
        if is_closed(rate, day):
            yield day
        day += timedelta(days=1)


def minutes_of(day: date, zone: ZoneInfo) -> int:
    """The true length of a local day: 1380 or 1500 minutes where the clocks change by an hour."""
    midnight = datetime.combine(day, time(), zone)
    following = datetime.combine(day + timedelta(days=1), time(), zone)
    return int((following.astimezone(UTC) - midnight.astimezone(UTC)).total_seconds()) // 60
