"""What of a unit falls due while it would be on the road: it would expire on the trip, so the unit stays."""

from uuid import UUID

from fleet.models import DueDate, Unit
from handover.rental.models import Rental
from handover.turnaround.models import NotReady
from shared.clock import local


def due_before_return(unit: Unit, rental: Rental) -> DueDate | None:
    """The first thing due on the trip that nobody let it go with, for this rental; in two queries at most."""
    rows = due_on_the_trip(unit, rental)
    gone = let_go_of(unit.pk, rental.pk) if rows else set()
    return next((row for row in rows if (row.kind, row.due_on.isoformat()) not in gone), None)


def due_on_the_trip(unit: Unit, rental: Rental) -> list[DueDate]:
    """Due on or before the planned return, by the branch's calendar, the earliest first."""
    back = local(rental.planned_back_at, rental.branch.zone).date()
    return list(DueDate.objects.filter(unit=unit, due_on__lte=back).order_by("due_on"))


def let_go_of(unit: UUID, rental: UUID) -> set[tuple[str, str]]:
    """Kind and date of each due date that a person let this unit go with, on this rental."""
    rows = NotReady.objects.filter(unit=unit, rental=rental).values_list("due", flat=True)
    return {(each["kind"], each["due_on"]) for due in rows for each in due}
