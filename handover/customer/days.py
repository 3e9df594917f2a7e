"""The days of a trip as a line of pegs: left, each day, where we are, back by. Drawn from dates and words alone."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from fleet.drawing.shapes import element, number, text

WIDTH, HEIGHT, LINE_Y = 358, 62, 20
FIRST_X, LAST_X = 17.0, 341.0
# More pegs than these would touch; a longer trip shows its ends and today.
MOST_PEGS = 8


@dataclass(frozen=True, slots=True)
class Days:
    """`names` are the short names of the days, `back` the words at the end, `label` the sentence for the ear."""

    first: date
    last: date
    today: date
    names: Sequence[str]
    back: str
    label: str

    @property
    def count(self) -> int:
        return (self.last - self.first).days + 1

    @property
    def now(self) -> int:
        """Which day it is, from 0; before the trip below 0, after it the last."""
        return min((self.today - self.first).days, self.count - 1)

    def x(self, day: int) -> float:
        return FIRST_X + (LAST_X - FIRST_X) * day / max(self.count - 1, 1)


def days_svg(days: Days) -> str:
    way = element("path", {"class": "ahead", "d": f"M{number(FIRST_X)} {LINE_Y} H{number(LAST_X)}"})
    gone = ""
    if days.now > 0:
        gone = element("path", {"class": "gone", "d": f"M{number(FIRST_X)} {LINE_Y} H{number(days.x(days.now))}"})
    view = {"class": "days", "viewBox": f"0 0 {WIDTH} {HEIGHT}", "role": "img", "aria-label": days.label}
    return element("svg", view, way + gone + "".join(_pegs(days)))


def _pegs(days: Days) -> Iterator[str]:
    shown = range(days.count) if days.count <= MOST_PEGS else sorted({0, max(days.now, 0), days.count - 1})
    for day in shown:
        yield _peg(days, day) + _name(days, day)


def _peg(days: Days, day: int) -> str:
    x = days.x(day)
    if day == days.now:
        return _square("now", x, 36)
    if day == days.count - 1:
        left, tip = number(x - 15), number(x - 1)
        return element("path", {"class": "back", "d": f"M{left} {LINE_Y} L{tip} 7 H{number(x + 13)} V33 H{tip} Z"})
    if day == 0:
        return _square("out", x, 24)
    return _square("past" if day < days.now else "to-come", x, 24)


def _square(role: str, x: float, side: int) -> str:
    place = {"x": number(x - side / 2), "y": number(LINE_Y - side / 2), "width": str(side), "height": str(side)}
    return element("rect", {"class": role} | place)


def _name(days: Days, day: int) -> str:
    """The words at the end lie left of the edge, those at the beginning right of it."""
    last = day == days.count - 1
    words = days.back if last else days.names[day]
    role = "end" if last else "first" if day == 0 else "mid"
    x = WIDTH - 2 if last else 2 if day == 0 else days.x(day)
    if not last and day and x > WIDTH - 100:
        return ""
    return text(words, {"class": f"{role} today" if day == days.now else role, "x": number(x), "y": "57"})
