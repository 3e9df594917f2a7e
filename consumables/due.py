"""Due dates against a planned return and a margin: extinguisher, kit, alarms, gas and electrical inspection. Pure.

What falls due during a rental is due before it. Dates come from the tag, the seal or the certificate; the local rules
for rented campers and the licensed trades come first.
"""

from calendar import monthrange
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from consumables.said import Said
from consumables.said import say as _

DueState = Literal["expired", "on_the_trip", "soon", "good", "not_known"]

# A late return must not run into it: common practice, no source.
MARGIN = timedelta(days=7)
# A unit without these does not leave. The others (registration, insurance, tyres) have rules of their own.
SAFETY = frozenset({"gas", "electrical", "extinguisher", "first_aid", "alarms"})


@dataclass(frozen=True, slots=True)
class Interval:
    """How often something is usually seen to, in months, and by what. The tag's or certificate's own date counts."""

    months: int
    source: str


INTERVALS = {
    "extinguisher": Interval(12, "BS 5306-3 and NFPA 10: yearly by a competent person"),
    "gas": Interval(12, "Common practice of the trade: every 1 to 2 years; the shorter is taken"),
    "electrical": Interval(36, "Common practice of the trade, no source"),
    "alarms": Interval(60, "End of life as printed, 5 to 10 years; the shorter is taken"),
}


@dataclass(frozen=True, slots=True)
class DueCheck:
    """kind is a fleet.DueDate kind; due_on None where no date is kept. stops: the unit is held until it is done."""

    kind: str
    due_on: date | None
    state: DueState
    sentence: Said

    @property
    def stops(self) -> bool:
        return self.kind in SAFETY and self.state in {"expired", "on_the_trip"}


def due_check(
    kind: str, due_on: date | None, *, leaves_on: date, back_on: date, margin: timedelta = MARGIN
) -> DueCheck:  # fmt: skip
    """One date against a rental; on its day it is due. Raises ValueError for a rental that ends before it begins."""
    if back_on < leaves_on:
        raise ValueError(f"A rental cannot end on {back_on} and begin on {leaves_on}.")
    state = _state(due_on, leaves_on, back_on, margin)
    return DueCheck(kind, due_on, state, _sentence(state, due_on, back_on))


def _state(due_on: date | None, leaves_on: date, back_on: date, margin: timedelta) -> DueState:
    if due_on is None:
        return "not_known"
    if due_on < leaves_on:
        return "expired"
    if due_on <= back_on:
        return "on_the_trip"
    return "soon" if due_on <= back_on + margin else "good"


def _sentence(state: DueState, due_on: date | None, back_on: date) -> Said:
    figures = {"due": f"{due_on:%-d %b %Y}" if due_on else "", "back": f"{back_on:%-d %b %Y}"}
    if state == "not_known":
        return _("No date is kept: look at the tag and enter it.")
    if state == "expired":
        return _("Was due on %(due)s. It is done before this unit leaves.", due=figures["due"])
    if state == "on_the_trip":
        return _("Is due on %(due)s, before the return on %(back)s. It is done before this unit leaves.", **figures)
    if state == "soon":
        return _("Is due on %(due)s, soon after the return on %(back)s: a late return runs into it.", **figures)
    return _("Good until %(due)s.", due=figures["due"])


def next_due(kind: str, done_on: date) -> date:
    """When it is due again by the usual interval; on the last of the month where the day does not exist.

    29 February 2024 and a year is 28 February 2025: the earlier day is taken. Raises KeyError for a kind without one.
    """
    years, month = divmod(done_on.month - 1 + INTERVALS[kind].months, 12)
    year, month = done_on.year + years, month + 1
    return date(year, month, min(done_on.day, monthrange(year, month)[1]))
