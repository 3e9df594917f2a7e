"""What instruments in a vehicle report by themselves. Rows are only added."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from fleet.models import Unit
from handover.written import Written
from shared.ids import uuid7


class ReportedReading(Written):
    """Figures of one moment, as a device in the unit told them. No charge rests on them.

    A walk-round is read by a person in front of the customer and signed; this is set beside it, where it is doubted.
    """

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    unit = models.ForeignKey(Unit, models.PROTECT, related_name="reported_readings")
    instrument = models.CharField(max_length=40)
    at = models.DateTimeField()
    received_at = models.DateTimeField()
    odometer_km = models.DecimalField(max_digits=9, decimal_places=1, null=True, blank=True)
    fuel_percent = models.DecimalField(max_digits=5, decimal_places=2, null=True, blank=True)
    battery_volts = models.DecimalField(max_digits=5, decimal_places=3, null=True, blank=True)
    doubt = models.CharField(max_length=300, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")

    class Meta:
        app_label = "handover"
        ordering = ["at", "id"]
        indexes = [models.Index(fields=["unit", "at"], name="reported_of_a_unit")]
        constraints = [
            models.CheckConstraint(
                condition=Q(odometer_km__isnull=False) | Q(fuel_percent__isnull=False) | Q(battery_volts__isnull=False),
                name="reported_something",
            ),
            models.CheckConstraint(
                condition=Q(fuel_percent__isnull=True) | Q(fuel_percent__gte=0, fuel_percent__lte=100),
                name="reported_fuel_within_the_tank",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.unit}: {self.instrument}, {self.at:%Y-%m-%d %H:%M}"
