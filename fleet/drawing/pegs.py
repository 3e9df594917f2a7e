"""Stations as square stakes, Marks as round pins: links with a square of 68 units for the touch."""

from collections.abc import Callable, Iterable, Mapping

from fleet.drawing.frame import Frame
from fleet.drawing.model import MarkPin, StationPoint, StationState
from fleet.drawing.shapes import HEX, element, number, text

Say = Callable[[str], str]
STATE_WORDS: Mapping[StationState, str] = {
    "todo": "to do", "part": "in part", "done": "done", "now": "you are here", "wait": "waits for a release",
}  # fmt: skip
TOUCH = {"class": "hit", "x": "-34", "y": "-34", "width": "68", "height": "68"}
HEAD = {"class": "head", "x": "-17", "y": "-17", "width": "34", "height": "34", "rx": "3"}
HEAD_NOW = {"class": "head", "x": "-28", "y": "-28", "width": "56", "height": "56", "rx": "3"}
LEVEL = {"class": "level", "x": "-17", "y": "8", "width": "34", "height": "9"}
BARS = {"class": "bar", "d": "M-26 -26 L26 26 M26 -26 L-26 26"}


def at(frame: Frame, x_mm: int, y_mm: int) -> dict[str, str]:
    return {"transform": f"translate({number(frame.x(x_mm))} {number(frame.y(y_mm))})"}


def link(kind: str, href: str, label: str, inside: str) -> str:
    """A link if it leads somewhere; otherwise the same drawing as a named group."""
    if href:
        return element("a", {"class": kind, "href": href, "aria-label": label}, inside)
    return element("g", {"class": kind, "role": "img", "aria-label": label}, inside)


def peg(station: StationPoint, frame: Frame, say: Say = str) -> str:
    bars = element("path", BARS) if station.state == "wait" else ""
    head = element("rect", HEAD_NOW if station.state == "now" else HEAD)
    level = element("rect", LEVEL) if station.state == "part" else ""
    figure = text(str(station.number), {"y": "-4"} if level else {})
    inside = element("g", at(frame, station.x_mm, station.y_mm), element("rect", TOUCH) + bars + head + level + figure)
    stands = say(STATE_WORDS[station.state])
    label = say("Station %(number)s, %(name)s, %(stands)s") % {
        "number": station.number, "name": station.name, "stands": stands,
    }  # fmt: skip
    return link(f"peg {station.state}", station.href, label, inside)


def pegs(stations: Iterable[StationPoint], frame: Frame, say: Say = str) -> str:
    """In order, but the current one last: it is the largest and lies on top."""
    ordered = sorted(stations, key=lambda s: (s.state == "now", s.number))
    return "".join(peg(station, frame, say) for station in ordered)


def pin(mark: MarkPin, frame: Frame, say: Say = str) -> str:
    drawn = element("rect", TOUCH) + element("circle", {"r": "14"}) + text(str(mark.number), {})
    numbered = say("Mark %(number)s") % {"number": mark.number}
    label = ", ".join(filter(None, (numbered, say("new") if mark.is_new else "", mark.label)))
    inside = element("g", at(frame, mark.x_mm, mark.y_mm), drawn)
    return link("mark new" if mark.is_new else "mark", mark.href, label, inside)


def pins(marks: Iterable[MarkPin], frame: Frame, say: Say = str) -> str:
    return "".join(pin(mark, frame, say) for mark in sorted(marks, key=lambda mark: mark.number))


def printed_pin(mark: MarkPin, frame: Frame) -> str:
    """Larger than on glass: the paper's plan is small. Known is a ring, new is filled."""
    x, y = frame.x(mark.x_mm), frame.y(mark.y_mm)
    fill, figure = (HEX["bracken"], HEX["paper"]) if mark.is_new else (HEX["paper"], HEX["bracken"])
    ring = {"cx": number(x), "cy": number(y), "r": "23", "fill": fill, "stroke": HEX["bracken"], "stroke-width": "2.5"}
    return element("circle", ring) + printed_figure(str(mark.number), x, y + 10.9, 31, figure)


def printed_figure(words: str, x: float, y: float, size: int, fill: str) -> str:
    look = {"x": number(x), "y": number(y), "text-anchor": "middle", "font-size": str(size), "font-weight": "700"}
    return text(words, look | {"font-family": "Atkinson Hyperlegible Next", "fill": fill})
