"""The vehicle itself: wheels, outline, bonnet, windscreen, mirrors. Shares of the half width, depths in mm."""

from collections.abc import Callable, Mapping

from fleet.drawing.frame import Frame
from fleet.drawing.model import BodyKind, PlanInput
from fleet.drawing.shapes import Shape, path, rect

COACH_CAB = 0.87
"""The cab of a coach-built is narrower than the house behind it."""
COACH_FRONT_MM = 2350
"""Where that house begins: behind the doors of the cab."""
WHEEL_W, WHEEL_H_MM = 14.0, 620

Step = str | tuple[float, float]


def outline(frame: Frame, share: float, *steps: Step) -> list[str | float]:
    """Path commands with points given as (share of half width, depth in mm); `share` narrows the whole."""
    flat: list[str | float] = []
    for step in steps:
        flat += [step] if isinstance(step, str) else [frame.across(step[0] * share), frame.y(step[1])]
    return flat


def nose(frame: Frame, share: float) -> list[str | float]:
    """From the left side at the pillar round the bonnet to the right side."""
    return outline(frame, share, "M", (-1, 1160), "C", (-1, 550), (-0.88, 183), (-0.51, 61), "Q", (0, -61), (0.51, 61),
                   "C", (0.88, 183), (1, 550), (1, 1160))  # fmt: skip


def tail(frame: Frame, radius_mm: float) -> list[str | float]:
    """From the right side round the rear corners back to the left side, closed."""
    right, left, end, r = frame.across(1), frame.across(-1), frame.top + frame.length, radius_mm * frame.unit
    return ["V", end - r, "Q", right, end, right - r, end, "H", left + r, "Q", left, end, left, end - r, "Z"]


def cab_details(frame: Frame, share: float) -> tuple[Shape, ...]:
    bonnet = outline(frame, share, "M", (-0.9, 840), "Q", (0, 525), (0.9, 840), "M", (-0.83, 550), "Q", (-0.63, 256),
                     (-0.41, 183), "M", (0.83, 550), "Q", (0.63, 256), (0.41, 183))  # fmt: skip
    windscreen = outline(frame, share, "M", (-0.88, 1378), "Q", (0, 988), (0.88, 1378), "L", (0.78, 1646),
                         "Q", (0, 1329), (-0.78, 1646), "Z")  # fmt: skip
    return path("line", *bonnet), path("fit", *windscreen), path("body", *mirrors(frame, share))


def mirrors(frame: Frame, share: float) -> list[str | float]:
    reach = 1 + 16 / (frame.half * share)
    steps: list[str | float] = []
    for side in (-1, 1):
        steps += outline(frame, share, "M", (side, 1329), "L", (side * reach, 1207), "L", (side * reach, 1427), "L",
                         (side, 1500), "Z")  # fmt: skip
    return steps


def wheels(frame: Frame, axles_mm: tuple[int, ...], front_share: float) -> tuple[Shape, ...]:
    height = WHEEL_H_MM * frame.unit
    shares = [front_share] + [1.0] * (len(axles_mm) - 1)
    return tuple(
        rect("wheel", frame.across(side * share) - WHEEL_W / 2 - side, frame.y(axle) - height / 2, WHEEL_W, height, 4)
        for axle, share in zip(axles_mm, shares, strict=True) for side in (-1, 1)
    )  # fmt: skip


def panel_van(frame: Frame, plan: PlanInput) -> tuple[Shape, ...]:
    shell = path("body", *nose(frame, 1), *tail(frame, 170))
    return *wheels(frame, plan.axles_mm, 1), shell, *cab_details(frame, 1)


def coachbuilt(frame: Frame, plan: PlanInput) -> tuple[Shape, ...]:
    """A van's cab, and behind it the wider house with its square corners."""
    cab = path("body", *nose(frame, COACH_CAB), "V", frame.y(COACH_FRONT_MM + 200), "H", frame.across(-COACH_CAB), "Z")
    front, back, half = frame.y(COACH_FRONT_MM), frame.top + frame.length, frame.half
    house = rect("body", frame.across(-1), front, 2 * half, back - front, 9)
    return *wheels(frame, plan.axles_mm, COACH_CAB), cab, *cab_details(frame, COACH_CAB), house


BODIES: Mapping[BodyKind, Callable[[Frame, PlanInput], tuple[Shape, ...]]] = {
    "panel_van": panel_van,
    "coachbuilt": coachbuilt,
}
