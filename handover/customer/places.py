"""What the form of a report offers: the places of the walk-round, the marks that were known, and until when."""

from collections.abc import Sequence
from dataclasses import dataclass

from handover.customer.opening import Visit
from handover.customer.page import pickup_of
from handover.customer.terms import Terms, may_report, terms_of
from handover.rental.models import Leg
from handover.walkround.models import Mark
from shared.phrasebook import said


@dataclass(frozen=True, slots=True)
class ReportPage:
    """`stations` are (number, name) in the order of the walk-round; `marks` those that the unit left with."""

    leg: Leg
    may_report: bool
    stations: Sequence[tuple[int, str]]
    marks: Sequence[Mark]
    terms: Terms


def report_page(visit: Visit) -> ReportPage:
    """Four queries."""
    leg = visit.rental.legs.select_related("unit").last()
    assert leg is not None  # noqa: S101 - a rental is made with its first leg
    pickup = pickup_of(leg)
    left_at = leg.started_at
    return ReportPage(
        leg=leg,
        may_report=pickup is not None and may_report(visit.rental, leg.ended_at, visit.at),
        stations=[(row.number, said(row.name)) for row in pickup.sheet.data.stations] if pickup else [],
        marks=list(leg.unit.marks.filter(found_at__lte=left_at, repaired_at=None)) if left_at else [],
        terms=terms_of(visit.rental.branch),
    )
