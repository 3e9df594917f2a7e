"""What the plan is drawn from, in millimetres: y from the nose backwards, x from the centre line, right positive."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal

BodyKind = Literal["panel_van", "coachbuilt"]
TrafficSide = Literal["left", "right"]
StationState = Literal["todo", "part", "done", "now", "wait"]
PointMm = tuple[int, int]


@dataclass(frozen=True)
class Fitting:
    """Furniture or a door: its rectangle seen from above, left front corner and size; `turn` clockwise in degrees.

    A seat at turn 0 faces forward, a bed at turn 0 has its pillows at the rear.
    """

    kind: str
    x_mm: int
    y_mm: int
    w_mm: int
    h_mm: int
    turn: Literal[0, 90, 180, 270] = 0


@dataclass(frozen=True)
class StationPoint:
    """A place on the Walk-round. The way from the station before is given by its corners, without the two ends."""

    number: int
    name: str
    x_mm: int
    y_mm: int
    way_from_previous: tuple[PointMm, ...] = ()
    state: StationState = "todo"
    href: str = ""


@dataclass(frozen=True)
class MarkPin:
    """A Mark on the unit. `label` says what and where, for those who do not see the plan."""

    number: int
    x_mm: int
    y_mm: int
    is_new: bool = False
    label: str = ""
    href: str = ""


@dataclass(frozen=True)
class PlanInput:
    """A Layout's geometry with what is known of one walk. `label` is the sentence that names the whole drawing.

    `say` puts a word of the drawing into the language of the page.
    """

    length_mm: int
    width_mm: int
    axles_mm: tuple[int, ...]
    body_kind: BodyKind
    traffic_side: TrafficSide = "left"
    label: str = ""
    fittings: tuple[Fitting, ...] = field(default=())
    stations: tuple[StationPoint, ...] = field(default=())
    marks: tuple[MarkPin, ...] = field(default=())
    say: Callable[[str], str] = str
