"""The staff of the day board: hours down a blade, the past greyed, now on a gorse plate; who stands where beside it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import time

from fleet.drawing.shapes import element, number, text

QUARTER, FIRST_Y = 15.25, 26.0
PEG_HEIGHT = 56.0
SHORTEST, LONGEST_HOURS, MOST_STRETCH = 8, 16, 4


@dataclass(frozen=True)
class DayStaff:
    """A board from `first_hour` for `hours` hours; `stretch` draws it 1 to 4 times as long for a full day."""

    first_hour: int
    hours: int
    stretch: int = 1

    @property
    def classes(self) -> str:
        """Of the board element: the sheet knows the height of each."""
        return f"h{self.hours} x{self.stretch}"

    def quarter(self, moment: time) -> int:
        """Quarter hours since the top, kept on the staff: the number in the class q0, q1, ..."""
        minutes = (moment.hour - self.first_hour) * 60 + moment.minute
        return min(max(round(minutes / 15), 0), self.hours * 4)

    def y(self, minutes: float) -> float:
        return FIRST_Y + minutes / 15 * QUARTER * self.stretch


def day_staff(*sides: Sequence[time], first_hour: int = 8, last_hour: int = 18) -> DayStaff:
    """The staff on which every time of both sides finds room: longer hours first, then a longer blade."""
    hours_used = [moment.hour for side in sides for moment in side]
    first = min([first_hour, *hours_used])
    last = max([last_hour, *(hour + 1 for hour in hours_used)])
    hours = min(max(last - first, SHORTEST), LONGEST_HOURS)
    most = max((len(side) for side in sides), default=0)
    stretch = next((n for n in range(1, MOST_STRETCH) if most * PEG_HEIGHT <= hours * 4 * QUARTER * n), MOST_STRETCH)
    return DayStaff(first_hour=min(first, 24 - hours), hours=hours, stretch=stretch)


def places(staff: DayStaff, moments: Sequence[time]) -> tuple[int, ...]:
    """A quarter-hour for each time, in order of time, moved no further than needed so that no two pegs touch.

    Later ones give way downwards; what would fall off the foot pushes the ones before it up.
    """
    apart = -(-PEG_HEIGHT // (QUARTER * staff.stretch))
    down: list[float] = []
    for moment in moments:
        down.append(max(staff.quarter(moment), down[-1] + apart if down else 0))
    lowest = staff.hours * 4.0
    up: list[float] = []
    for place in reversed(down):
        up.append(min(place, up[-1] - apart if up else lowest))
    return tuple(max(int(place), 0) for place in reversed(up))


def blade(staff: DayStaff, now: time | None) -> str:
    foot = staff.y(staff.hours * 60) + 8
    shell = f"M30 8 Q30 2 36 2 H104 Q110 2 110 8 V{number(foot)} L70 {number(foot + 20)} L30 {number(foot)} Z"
    drawn = element("path", {"class": "blade", "d": shell})
    if now is None:
        return drawn
    past = f"M31.3 8 Q31.3 3.3 36 3.3 H104 Q108.7 3.3 108.7 8 V{number(now_y(staff, now))} H31.3 Z"
    return drawn + element("path", {"class": "past", "d": past})


def now_y(staff: DayStaff, now: time) -> float:
    minutes = (now.hour - staff.first_hour) * 60 + now.minute
    return staff.y(min(max(minutes, 0), staff.hours * 60))


def hour_marks(staff: DayStaff) -> str:
    drawn = []
    for quarter in range(staff.hours * 4 + 1):
        y = number(staff.y(quarter * 15))
        kind, reach = ("tick", 26) if quarter % 4 == 0 else ("tick fine", 12 if quarter % 2 == 0 else 7)
        drawn.append(element("path", {"class": kind, "d": f"M30 {y} h{reach} M110 {y} h-{reach}"}))
    for hour in range(staff.hours + 1):
        y = number(staff.y(hour * 60) + 6)
        drawn.append(text(f"{staff.first_hour + hour:02d}", {"class": "no m", "x": "70", "y": y}))
    return "".join(drawn)


def now_plate(staff: DayStaff, now: time) -> str:
    y = now_y(staff, now)
    line = element("path", {"class": "now-line", "d": f"M31 {number(y)} H109"})
    plate = {"class": "now-plate", "x": "36", "y": number(y - 16), "width": "68", "height": "32", "rx": "3"}
    return line + element("rect", plate) + text(f"{now:%H:%M}", {"class": "now-text", "x": "70", "y": number(y + 6.5)})


def day_staff_svg(staff: DayStaff, *, label: str, now: time | None = None) -> str:
    """The staff of a day; `now` only for today. `label` says the hours and the time in words."""
    height = number(staff.y(staff.hours * 60) + 30)
    view = {"class": "dip", "width": "140", "height": height, "viewBox": f"0 0 140 {height}", "role": "img"}
    inside = blade(staff, now) + hour_marks(staff) + (now_plate(staff, now) if now else "")
    return element("svg", view | {"aria-label": label}, inside)
