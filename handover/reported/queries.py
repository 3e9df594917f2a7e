"""What is known of a unit's odometer at a time, from people and from the device in it."""

from datetime import datetime
from decimal import Decimal

from fleet.models import Unit
from handover.reported.models import ReportedReading
from handover.walkround.models import Reading


def last_odometer(unit: Unit, *, before: datetime) -> Decimal | None:
    """What a person read last on a walk-round until then, in km."""
    rows = Reading.objects.filter(
        walk__leg__unit=unit, item__measures="odometer", state=Reading.State.READ, at__lte=before
    )
    return rows.order_by("at", "id").values_list("value", flat=True).last()


def last_reported_km(unit: Unit, *, before: datetime) -> Decimal | None:
    """What the device in it reported last until then, in km; a report that was doubted says nothing."""
    rows = ReportedReading.objects.filter(unit=unit, at__lte=before, odometer_km__isnull=False, doubt="")
    return rows.order_by("at", "id").values_list("odometer_km", flat=True).last()
