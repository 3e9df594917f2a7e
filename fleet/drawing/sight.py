"""Where a photo is taken from and what it shows: a piece of the plan with the field of view upon it."""

from math import atan2, cos, dist, pi, sin

from fleet.drawing.frame import MIDDLE_X, MIDDLE_Y, Frame, frame_of
from fleet.drawing.model import PlanInput, PointMm
from fleet.drawing.plan import vehicle
from fleet.drawing.shapes import element, number, screen_ink

# A tablet's camera sees some 65 degrees across.
HALF_ANGLE = 32 * pi / 180
LEAST_WIDE, MOST_WIDE = 200.0, 420.0
SHAPE = 4 / 3
EDGE = 14.0


def sight_svg(plan: PlanInput, eye_mm: PointMm, aim_mm: PointMm) -> str:
    """The piece of the plan round both points, four to three; it says nothing that the words beside it do not say."""
    frame = frame_of(plan)
    eye, aim = frame.point(eye_mm), frame.point(aim_mm)
    inside = vehicle(plan, frame, screen_ink) + _field(eye, aim)
    view = {"class": "plan sight", "viewBox": _window(eye, aim, frame), "aria-hidden": "true"}
    return element("svg", view, inside)


def _field(eye: tuple[float, float], aim: tuple[float, float]) -> str:
    """A wedge from the eye to a little beyond what it aims at, and the eye itself."""
    turn, reach = atan2(aim[1] - eye[1], aim[0] - eye[0]), 1.15 * dist(eye, aim) / cos(HALF_ANGLE)
    angles = (turn - HALF_ANGLE, turn + HALF_ANGLE)
    sides = [(eye[0] + reach * cos(angle), eye[1] + reach * sin(angle)) for angle in angles]
    corners = " L".join(f"{number(x)} {number(y)}" for x, y in (eye, *sides))
    wedge = element("path", {"class": "field", "d": f"M{corners} Z"})
    return wedge + element("circle", {"class": "eye", "cx": number(eye[0]), "cy": number(eye[1]), "r": "9"})


def _window(eye: tuple[float, float], aim: tuple[float, float], frame: Frame) -> str:
    """As much of the plan as tells where on the vehicle it is, moved towards the vehicle's middle."""
    wide = min(max(LEAST_WIDE, 2.4 * dist(eye, aim)), MOST_WIDE)
    tall = wide / SHAPE
    middle = ((eye[0] + aim[0]) / 2, (eye[1] + aim[1]) / 2)
    x = middle[0] + 0.15 * (MIDDLE_X - middle[0]) - wide / 2
    # A little above the middle, since words stand at the foot of the frame; the eye stays in it.
    y = min(max(middle[1], frame.top), 2 * MIDDLE_Y - frame.top) - 0.42 * tall
    y = min(y, min(eye[1], aim[1]) - EDGE)
    return " ".join(number(value) for value in (x, y, wide, tall))
