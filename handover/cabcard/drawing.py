"""The plan of this layout with its lettered places, for paper and for the page."""

from typing import cast

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from fleet.drawing.letters import Lettered, lettered_print_svg, lettered_screen_svg
from fleet.drawing.model import BodyKind, Fitting, PlanInput, TrafficSide
from handover.cabcard.queries import CardFacts
from handover.cabcard.tongues import Tongues

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def plan_for_paper(facts: CardFacts, tongues: Tongues, height: int) -> SafeString:
    svg = lettered_print_svg(_plan(facts, tongues), _letters(facts), sides=_sides(facts, tongues), height=height)
    return mark_safe(svg)  # noqa: S308 - the drawing escapes every word it is given


def plan_for_screen(facts: CardFacts, tongues: Tongues) -> SafeString:
    svg = lettered_screen_svg(_plan(facts, tongues), _letters(facts), sides=_sides(facts, tongues))
    return mark_safe(svg)  # noqa: S308 - the drawing escapes every word it is given


def _plan(facts: CardFacts, tongues: Tongues) -> PlanInput:
    layout = facts.layout
    return PlanInput(
        length_mm=layout.length_mm,
        width_mm=layout.width_mm,
        axles_mm=tuple(layout.axles_mm),
        body_kind=cast(BodyKind, layout.body),
        traffic_side=cast(TrafficSide, facts.branch.traffic_side),
        label=tongues.both(lambda: _("Plan of the vehicle with the places of the list")).own,
        fittings=tuple(
            Fitting(fit.kind, fit.x_mm, fit.y_mm, fit.w_mm, fit.h_mm, fit.turn)  # type: ignore[arg-type]
            for fit in layout.fittings.all()
        ),
    )


def _letters(facts: CardFacts) -> list[Lettered]:
    return [Lettered(letter, row.x_mm, row.y_mm) for letter, row in zip(LETTERS, facts.places, strict=False)]


def _sides(facts: CardFacts, tongues: Tongues) -> tuple[str, str]:
    """Where people drive on the left, the kerb is left of a vehicle seen from above, nose up."""
    kerb, road = (tongues.both(make).own for make in (lambda: _("kerb side"), lambda: _("road side")))
    return (kerb, road) if facts.branch.traffic_side == "left" else (road, kerb)
