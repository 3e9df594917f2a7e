"""What is planned of a trip: the party, and the place of each night. Nothing is overwritten; the latest row counts."""

from decimal import Decimal

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from handover.rental.models import Rental
from handover.written import Written
from shared.ids import uuid7

HABITS = [
    ("sparing", _("Sparing, 9 L a person a day")),
    ("usual", _("Usual, 14 L a person a day")),
    ("showers", _("A shower a day, 28 L a person")),
]


class Planned(Written):
    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.PROTECT, related_name="%(class)s_rows")
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        abstract = True
        ordering = ["at", "id"]


class PlannedParty(Planned):
    """Who goes, how they use water, how long they drive; and the house battery by voltage where no display tells."""

    people = models.PositiveSmallIntegerField(validators=[MinValueValidator(1), MaxValueValidator(12)])
    habit = models.CharField(
        max_length=8,
        choices=HABITS,
        default="usual",
    )
    drive_h = models.DecimalField(
        max_digits=3, decimal_places=1, default=Decimal(1), validators=[MinValueValidator(0), MaxValueValidator(12)]
    )
    volts = models.DecimalField(max_digits=4, decimal_places=2, null=True, blank=True)
    rested_h = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    charging = models.BooleanField(default=False)
    celsius = models.DecimalField(max_digits=3, decimal_places=0, null=True, blank=True)

    class Meta(Planned.Meta):
        constraints = [
            models.CheckConstraint(
                condition=Q(people__gte=1, people__lte=12, drive_h__gte=0, drive_h__lte=12), name="a_party_that_fits"
            ),
        ]


class PlannedNight(Planned):
    """Where one night is spent. An empty name says that it is open again. mains, water, waste: empty for not known."""

    night = models.DateField(help_text=_("The day on whose evening it begins."))
    name = models.CharField(max_length=60, blank=True)
    latitude = models.DecimalField(max_digits=7, decimal_places=4, null=True, blank=True)
    longitude = models.DecimalField(max_digits=8, decimal_places=4, null=True, blank=True)
    mains = models.BooleanField(null=True)
    water = models.BooleanField(null=True)
    waste = models.BooleanField(null=True)
    frost = models.BooleanField(default=False)

    class Meta(Planned.Meta):
        constraints = [
            models.CheckConstraint(
                condition=Q(latitude__isnull=True, longitude__isnull=True)
                | Q(latitude__gte=-90, latitude__lte=90, longitude__gte=-180, longitude__lte=180),
                name="planned_night_on_earth",
            ),
        ]
