"""What every row of the counter has: its rental, when, and who."""

from django.conf import settings
from django.db import models

from handover.rental.models import Rental
from handover.written import Written
from shared.ids import uuid7


class CounterRow(Written):
    """The client's key is its primary key, so a replay finds it."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.PROTECT, related_name="%(class)ss")
    words = models.CharField(max_length=300, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        abstract = True
        ordering = ["at", "id"]
