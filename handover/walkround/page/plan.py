"""The plan of a unit as the way round: stations with their state, marks with their pins."""

from collections.abc import Mapping
from typing import cast

from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from fleet.drawing.model import BodyKind, Fitting, MarkPin, PlanInput, StationPoint, StationState, TrafficSide
from fleet.drawing.plan import screen_svg
from handover.walkround.models import Mark, WalkRound
from handover.walkround.queries import Seen
from handover.walkround.sheet import StationSheet
from shared.phrasebook import inside


def plan_svg(seen: Seen, states: Mapping[int, StationState], here: StationSheet | None) -> SafeString:
    """`here` is the current station; None on a page that stands after the last."""
    walk, sheet = seen.walk, seen.walk.sheet.data
    unit = walk.leg.unit.number
    plan = PlanInput(
        length_mm=sheet.length_mm,
        width_mm=sheet.width_mm,
        axles_mm=sheet.axles_mm,
        body_kind=cast(BodyKind, sheet.body),
        traffic_side=cast(TrafficSide, sheet.traffic_side),
        label=_label(unit, here),
        fittings=tuple(
            Fitting(fit.kind, fit.x_mm, fit.y_mm, fit.w_mm, fit.h_mm, fit.turn)  # type: ignore[arg-type]
            for fit in sheet.fittings
        ),
        stations=tuple(_point(walk, row, states[row.number], is_here=row is here) for row in sheet.stations),
        marks=tuple(_pin(walk, mark) for mark in seen.marks),
        say=_,
    )
    return mark_safe(screen_svg(plan))  # noqa: S308 - the drawing escapes every word it is given


def _label(unit: str, here: StationSheet | None) -> str:
    plan = _("Plan of unit %(unit)s.") % {"unit": unit}
    if here is None:
        return plan
    return plan + " " + _("Station %(number)s, %(name)s, is current.") % {"number": here.number, "name": here.name}


def station_address(walk: WalkRound, number: int, anchor: str = "") -> str:
    address = reverse("station", args=[walk.pk, number])
    return f"{address}#{anchor}" if anchor else address


def _point(walk: WalkRound, station: StationSheet, state: StationState, *, is_here: bool) -> StationPoint:
    return StationPoint(
        number=station.number,
        name=station.name,
        x_mm=station.x_mm,
        y_mm=station.y_mm,
        way_from_previous=station.way,
        state="now" if is_here else state,
        href=station_address(walk, station.number),
    )


def _pin(walk: WalkRound, mark: Mark) -> MarkPin:
    return MarkPin(
        number=mark.number,
        x_mm=mark.x_mm,
        y_mm=mark.y_mm,
        is_new=mark.found_on_id == walk.pk,
        label=f"{inside(mark.get_kind_display())}, {mark.place}",
        href=station_address(walk, mark.station_number, f"mark-{mark.pk}"),
    )
