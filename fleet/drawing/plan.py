"""The plan of a vehicle from its Layout's data: for the screen with classes and links, for paper with plain values."""

from collections.abc import Callable, Mapping

from fleet.drawing.body import BODIES
from fleet.drawing.fittings import all_placed
from fleet.drawing.frame import MIDDLE_X, VIEW_HEIGHT, VIEW_WIDTH, Frame, frame_of
from fleet.drawing.model import PlanInput, TrafficSide
from fleet.drawing.pegs import pegs, pins, printed_pin
from fleet.drawing.shapes import Ink, draw, element, number, print_ink, screen_ink, text
from fleet.drawing.way import way

SIDES: Mapping[TrafficSide, tuple[str, str]] = {"left": ("kerb side", "road side"), "right": ("road side", "kerb side")}
"""Words left and right of a vehicle seen from above, nose up: where people drive on the left, the kerb is left."""
PRINT_MARGIN = 26.0


def vehicle(plan: PlanInput, frame: Frame, ink: Ink) -> str:
    """Body and fittings, without stations, way or marks."""
    body = draw(BODIES[plan.body_kind](frame, plan), ink)
    return element("g", {"aria-hidden": "true"}, body + all_placed(plan.fittings, frame, plan.traffic_side, ink))


def side_words(traffic_side: TrafficSide, say: Callable[[str], str] = str) -> str:
    left, right = (say(words) for words in SIDES[traffic_side])
    words = text(left, {"transform": "translate(24 226) rotate(-90)"})
    words += text(right, {"transform": "translate(340 226) rotate(90)"})
    return element("g", {"aria-hidden": "true", "class": "sides"}, words)


def screen_svg(plan: PlanInput) -> str:
    """The plan as navigation: pegs and pins are links, classes of base.css dress it.

    The scale stands in data attributes, so that a tap can be turned back into millimetres.
    Raises ValueError for a body without size or a fitting of an unknown kind.
    """
    frame = frame_of(plan)
    inside = vehicle(plan, frame, screen_ink)
    if plan.stations:
        inside += element("g", {"aria-hidden": "true"}, way(plan.stations, frame) or " ")
    inside += side_words(plan.traffic_side, plan.say)
    inside += pins(plan.marks, frame, plan.say) + pegs(plan.stations, frame, plan.say)
    view = {"class": "plan", "viewBox": f"0 0 {VIEW_WIDTH} {VIEW_HEIGHT}", "role": "group", "aria-label": plan.label}
    scale = {"data-scale": f"{frame.unit:.6f}", "data-middle": number(MIDDLE_X), "data-top": number(frame.top)}
    return element("svg", view | scale, inside)


def print_svg(plan: PlanInput, *, width: int = 88) -> str:
    """The vehicle with its marks for paper, `width` px wide: hex values, no class, no var(), no pattern."""
    frame = frame_of(plan)
    wide, tall = 2 * (frame.half + PRINT_MARGIN), frame.length + 2 * 10
    left, top = MIDDLE_X - wide / 2, frame.top - 10
    inside = vehicle(plan, frame, print_ink) + "".join(printed_pin(mark, frame) for mark in plan.marks)
    view = {"width": str(width), "height": number(width * tall / wide), "role": "img", "aria-label": plan.label}
    box = {"viewBox": " ".join(number(value) for value in (left, top, wide, tall))}
    return element("svg", {"xmlns": "http://www.w3.org/2000/svg"} | view | box, inside)
