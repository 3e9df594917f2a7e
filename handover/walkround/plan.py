"""The plan of a walk-round's own vehicle, from its sheet."""

from collections.abc import Iterable
from typing import Any, cast

from fleet.drawing.frame import Frame, frame_of
from fleet.drawing.model import Fitting, MarkPin, PlanInput, StationPoint
from fleet.drawing.plan import vehicle
from fleet.drawing.shapes import print_ink
from handover.walkround.sheet import SheetData


def plan_input(
    sheet: SheetData, *, label: str = "", stations: Iterable[StationPoint] = (), marks: Iterable[MarkPin] = ()
) -> PlanInput:
    return PlanInput(
        length_mm=sheet.length_mm,
        width_mm=sheet.width_mm,
        axles_mm=sheet.axles_mm,
        body_kind=cast(Any, sheet.body),
        traffic_side=cast(Any, sheet.traffic_side),
        label=label,
        fittings=tuple(
            Fitting(row.kind, row.x_mm, row.y_mm, row.w_mm, row.h_mm, cast(Any, row.turn)) for row in sheet.fittings
        ),
        stations=tuple(stations),
        marks=tuple(marks),
    )


def printed_plan(sheet: SheetData) -> tuple[str, Frame]:
    """The inner markup for paper, and the frame that places marks upon it."""
    plan = plan_input(sheet)
    frame = frame_of(plan)
    return vehicle(plan, frame, print_ink), frame
