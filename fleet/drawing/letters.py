"""The vehicle with lettered places, for those who look for a thing in it: on paper with plain values, else dressed."""

from collections.abc import Sequence
from dataclasses import dataclass

from fleet.drawing.frame import MIDDLE_X, Frame, frame_of
from fleet.drawing.model import PlanInput
from fleet.drawing.pegs import printed_figure
from fleet.drawing.plan import vehicle
from fleet.drawing.shapes import HEX, element, number, print_ink, screen_ink, text

HALF_A_PEG = 19.0
AROUND = 36.0


@dataclass(frozen=True, slots=True)
class Lettered:
    """A place in millimetres, as a letter on the plan."""

    letter: str
    x_mm: int
    y_mm: int


def lettered_print_svg(plan: PlanInput, letters: Sequence[Lettered], *, sides: tuple[str, str], height: int) -> str:
    """For paper, `height` px tall: hex values, no class. `sides` are the words left and right of the vehicle."""
    frame = frame_of(plan)
    inside = vehicle(plan, frame, print_ink) + _printed_sides(sides)
    inside += "".join(_printed(each, frame) for each in letters)
    box = _box(frame)
    view = {"width": number(height * box[2] / box[3]), "height": str(height), "role": "img", "aria-label": plan.label}
    shown = {"viewBox": " ".join(number(value) for value in box)}
    return element("svg", {"xmlns": "http://www.w3.org/2000/svg"} | view | shown, inside)


def lettered_screen_svg(plan: PlanInput, letters: Sequence[Lettered], *, sides: tuple[str, str]) -> str:
    """For a page, dressed by the classes of base.css and `.letter`."""
    frame = frame_of(plan)
    inside = vehicle(plan, frame, screen_ink) + _sides(sides) + "".join(_dressed(each, frame) for each in letters)
    view = {"class": "plan", "viewBox": " ".join(number(value) for value in _box(frame)), "role": "img"}
    return element("svg", view | {"aria-label": plan.label}, inside)


def _box(frame: Frame) -> tuple[float, float, float, float]:
    wide = 2 * (frame.half + AROUND)
    return MIDDLE_X - wide / 2, frame.top - 12, wide, frame.length + 24


def _peg(each: Lettered, frame: Frame) -> tuple[float, float, dict[str, str]]:
    x, y = frame.x(each.x_mm), frame.y(each.y_mm)
    side = number(2 * HALF_A_PEG)
    corner = {"x": number(x - HALF_A_PEG), "y": number(y - HALF_A_PEG), "width": side, "height": side, "rx": "3"}
    return x, y, corner


def _printed(each: Lettered, frame: Frame) -> str:
    x, y, peg = _peg(each, frame)
    look = {"fill": HEX["gorse"], "stroke": HEX["ink"], "stroke-width": "2.5"}
    return element("rect", peg | look) + printed_figure(each.letter, x, y + 8.4, 24, HEX["ink"])


def _dressed(each: Lettered, frame: Frame) -> str:
    x, y, peg = _peg(each, frame)
    figure = text(each.letter, {"x": number(x), "y": number(y + 8.4)})
    return element("g", {"class": "letter"}, element("rect", peg) + figure)


def _printed_sides(sides: tuple[str, str]) -> str:
    look = {"font-size": "18", "fill": HEX["ink-soft"], "text-anchor": "middle"}
    words = "".join(text(word, {"transform": turn}) for word, turn in _placed(sides))
    return element("g", look | {"font-family": "Atkinson Hyperlegible Next"}, words)


def _sides(sides: tuple[str, str]) -> str:
    words = "".join(text(word, {"transform": turn}) for word, turn in _placed(sides))
    return element("g", {"aria-hidden": "true", "class": "sides"}, words)


def _placed(sides: tuple[str, str]) -> tuple[tuple[str, str], ...]:
    """Beside the cab, where no letter stands at the edge."""
    left, right = sides
    return (left, "translate(76 226) rotate(-90)"), (right, "translate(284 226) rotate(90)")
