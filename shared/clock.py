"""Wall clocks and elapsed time. Pure: the time now is always given by the caller."""

from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

# What people type as a year, and what every zone and the day after can be reckoned in.
YEARS = range(1900, 2200)


class UnknownZone(ValueError):
    """The text names no IANA time zone."""


class NoSuchTime(ValueError):
    """A wall time that the clocks jumped over."""


class TwiceThatDay(ValueError):
    """A wall time that came twice because the clocks went back: it has to be said which is meant."""


@cache
def zone_of(name: str) -> ZoneInfo:
    """The IANA zone of that name. Raises UnknownZone."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise UnknownZone(
            f"{name!r} is no time zone. A zone is named like Europe/London or Pacific/Auckland."
        ) from None


def local(when: datetime, zone: str) -> datetime:
    """An instant as the clocks of the zone show it. Raises ValueError for a naive time, UnknownZone."""
    return _aware(when).astimezone(zone_of(zone))


def typed_wall(text: str) -> datetime:
    """The wall time that a field of date and time holds, 2026-08-18T11:30. Raises ValueError with the sentence to show.

    Neither a day without its time is one, nor a time that names a zone: the zone stands beside it.
    """
    try:
        wall = datetime.fromisoformat(text)
    except ValueError:
        wall = None
    if wall is None or wall.tzinfo or len(text) < len("2026-08-18T11:30"):
        raise ValueError(f"{_short(text)} is no date and time. Write it as 2026-08-18T11:30.")
    if wall.year not in YEARS:
        raise ValueError(f"{wall.year:04} is no year of a rental. Write the time as 2026-08-18T11:30.")
    return wall


def _short(text: str) -> str:
    return text if len(text) <= 40 else f"{text[:40]}…"


def from_wall(wall: datetime, zone: str, *, fold: int | None = None) -> datetime:
    """The instant, in UTC, at which the clocks of the zone showed a naive wall time.

    fold says which is meant of a time that came twice: 0 the first, 1 the second. It says nothing of other times.
    Raises NoSuchTime, TwiceThatDay when fold is None, UnknownZone, ValueError for a time that names its own zone.
    """
    if wall.tzinfo is not None:
        raise ValueError("A wall time is written without a zone; the zone is given beside it.")
    first, second = (wall.replace(tzinfo=zone_of(zone), fold=side) for side in (0, 1))
    # In a gap the offset before the jump (fold 0) is the smaller one, in an overlap it is the larger one.
    if first.utcoffset() < second.utcoffset():  # type: ignore[operator]
        raise NoSuchTime(_jumped_over(first, second, zone))
    if fold is None and first.utcoffset() != second.utcoffset():
        raise TwiceThatDay(_came_twice(first, second, zone))
    return (second if fold else first).astimezone(UTC)


def elapsed(start: datetime, end: datetime) -> timedelta:
    """Time that passed between two instants, whatever the clocks did; negative when end is before start.

    Python subtracts two times of one zone by their wall clocks: a night of 25 hours would count 24.
    """
    return _aware(end).astimezone(UTC) - _aware(start).astimezone(UTC)


def day_bounds(day: date, zone: str) -> tuple[datetime, datetime]:
    """The first instant of a calendar day of the zone and the first one after it, in UTC: 23, 24 or 25 hours apart."""
    return _midnight(day, zone), _midnight(day + timedelta(days=1), zone)


def _midnight(day: date, zone: str) -> datetime:
    """Where the clocks jump over midnight (fold 0 takes the offset before it), the instant of the jump."""
    return datetime.combine(day, time(), tzinfo=zone_of(zone)).astimezone(UTC)


def _aware(when: datetime) -> datetime:
    if when.tzinfo is None:
        raise ValueError("A time without a zone is not an instant.")
    return when


def _jumped_over(before: datetime, after: datetime, zone: str) -> str:
    """before and after are the wall time with the offsets on either side of the jump."""
    earlier = after.astimezone(UTC).astimezone(zone_of(zone))
    later = before.astimezone(UTC).astimezone(zone_of(zone))
    return (
        f"{_written(before)} did not come in {zone}: the clocks went forward over it. "
        f"{earlier:%H:%M} or {later:%H:%M} may be meant."
    )


def _came_twice(first: datetime, second: datetime, zone: str) -> str:
    return (
        f"{_written(first)} came twice in {zone}, because the clocks went back. "
        f"Say whether the first ({_offset(first)}) or the second ({_offset(second)}) is meant."
    )


def _written(wall: datetime) -> str:
    return f"{wall:%H:%M} on {wall.day} {wall:%B %Y}"


def _offset(when: datetime) -> str:
    """UTC+1, UTC, UTC−3:30."""
    minutes = round(when.utcoffset().total_seconds() / 60)  # type: ignore[union-attr]
    if not minutes:
        return "UTC"
    hours, rest = divmod(abs(minutes), 60)
    return f"UTC{'+' if minutes > 0 else '−'}{hours}{f':{rest:02}' if rest else ''}"
