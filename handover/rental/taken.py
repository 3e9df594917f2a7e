"""Which rentals take a unit in a stretch of time."""

from datetime import datetime

from django.db.models import QuerySet

from fleet.models import Unit
from handover.rental.models import TAKES_A_UNIT, Leg


def legs_taking(unit: Unit, start: datetime, end: datetime) -> QuerySet[Leg]:
    """Legs not ended whose rental has or gets the unit in that time; one that ends as the other begins does not."""
    overlapping = Leg.objects.filter(rental__planned_out_at__lt=end, rental__planned_back_at__gt=start)
    return overlapping.filter(unit=unit, ended_at=None, rental__state__in=TAKES_A_UNIT).select_related("rental")
