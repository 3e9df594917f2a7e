"""What a typed phrase can be: a number, words, a day. Pure: months and today are given."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from handover.search.folding import LONGEST, compact, folded
from shared.clock import YEARS


@dataclass(frozen=True, slots=True)
class Read:
    """`tight` is looked up as a number, `loose` as words; `day` when it is one, too."""

    phrase: str
    tight: str
    loose: str
    day: date | None

    @property
    def is_cut(self) -> bool:
        """Longer than the beginnings that are kept: what is found has to be looked at."""
        return max(len(self.loose), len(self.tight)) > LONGEST


class NoSuchDay(ValueError):
    """Written as a day that is in no calendar."""


class NoSuchYear(ValueError):
    """A day of a year that no rental has; its year is the argument."""


ISO = re.compile(r"(?P<year>\d{4})-(?P<month>\d{1,2})-(?P<day>\d{1,2})")
DOTTED = re.compile(r"(?P<day>\d{1,2})\. ?(?P<month>\d{1,2})\. ?(?P<year>\d{4}|\d{2})?")
SLASHED = re.compile(r"(?P<day>\d{1,2})/(?P<month>\d{1,2})/(?P<year>\d{4}|\d{2})")
NAMED = re.compile(r"(?P<day>\d{1,2})(?:\.|st|nd|rd|th)? ?(?P<name>[^\W\d_]+)\.?,?(?: (?P<year>\d{4}))?")
NAME_FIRST = re.compile(r"(?P<name>[^\W\d_]+)\.? (?P<day>\d{1,2})(?:st|nd|rd|th)?,?(?: (?P<year>\d{4}))?")


def read(phrase: str, *, today: date, months: Mapping[str, int]) -> Read:
    """Raises NoSuchDay and NoSuchYear for what is written as a day and is none. `months` by their folded names."""
    plain = " ".join(phrase.split())
    return Read(plain, compact(plain), folded(plain), day_in(plain, today=today, months=months))


def day_in(text: str, *, today: date, months: Mapping[str, int]) -> date | None:
    """None for what is not written as a day. Without a year it is the one nearest to today."""
    for shape in (ISO, DOTTED, SLASHED, NAMED, NAME_FIRST):
        found = shape.fullmatch(text)
        if found and (month := _month(found, months)):
            return _day(found, month, today)
    return None


def _month(found: re.Match[str], months: Mapping[str, int]) -> int | None:
    said = found.groupdict()
    return months.get(folded(said["name"])) if "name" in said else int(said["month"]) or 13


def _day(found: re.Match[str], month: int, today: date) -> date:
    said = found["year"]
    if not said:
        return _nearest(month, int(found["day"]), today)
    year = int(said) + (2000 if len(said) == 2 else 0)
    if year not in YEARS:
        raise NoSuchYear(f"{year:04}")
    try:
        return date(year, month, int(found["day"]))
    except ValueError as problem:
        raise NoSuchDay from problem


def _nearest(month: int, day: int, today: date) -> date:
    """29 Feb may be four years off."""
    found = []
    for year in range(today.year - 4, today.year + 5):
        try:
            found.append(date(year, month, day))
        except ValueError:
            continue
    if not found:
        raise NoSuchDay
    return min(found, key=lambda each: abs((each - today).days))
