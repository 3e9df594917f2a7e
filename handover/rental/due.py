"""What of a unit falls due while it would be on the road: it would expire on the trip, so the unit stays."""

from fleet.models import DueDate, Unit
from handover.rental.models import Rental
from shared.clock import local


def due_before_return(unit: Unit, rental: Rental) -> DueDate | None:
    """The first thing due on or before the planned return, by the branch's calendar."""
    back = local(rental.planned_back_at, rental.branch.zone).date()
    return DueDate.objects.filter(unit=unit, due_on__lte=back).order_by("due_on").first()
