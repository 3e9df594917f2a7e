"""Millimetres of the vehicle to units of the plan: viewBox 0 0 360 664, nose up, the body in the middle of its yard."""

from dataclasses import dataclass

from fleet.drawing.model import PlanInput, PointMm

VIEW_WIDTH, VIEW_HEIGHT = 360, 664
MIDDLE_X, MIDDLE_Y = 180.0, 328.5
LONGEST, WIDEST = 491.0, 172.0


@dataclass(frozen=True)
class Frame:
    """One scale for both directions: `unit` is plan units a millimetre."""

    unit: float
    top: float
    half: float
    length: float

    def x(self, x_mm: float) -> float:
        return MIDDLE_X + x_mm * self.unit

    def y(self, y_mm: float) -> float:
        return self.top + y_mm * self.unit

    def point(self, point: PointMm) -> tuple[float, float]:
        return self.x(point[0]), self.y(point[1])

    def across(self, share: float) -> float:
        """x at a share of the body's half width: -1 is the left side, 0 the centre line."""
        return MIDDLE_X + share * self.half


def frame_of(plan: PlanInput) -> Frame:
    """The scale at which body and yard fit. Raises ValueError for a body without length or width."""
    if plan.length_mm <= 0 or plan.width_mm <= 0:
        raise ValueError(f"A body of {plan.length_mm} by {plan.width_mm} mm cannot be drawn; both must be above 0.")
    unit = min(LONGEST / plan.length_mm, WIDEST / plan.width_mm)
    length = plan.length_mm * unit
    return Frame(unit, MIDDLE_Y - length / 2, plan.width_mm * unit / 2, length)
