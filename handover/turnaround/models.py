"""Turnaround jobs: what has to be done before a unit can go out again, and the release of one that is not ready."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from consumables.models import Fill
from consumables.readable import figure
from fleet.models import Unit
from handover.rental.models import Rental
from handover.walkround.models import WalkRound
from handover.written import Written
from shared.ids import uuid7


class TurnaroundJob(Written):
    """One thing to do on a unit. `subject` is the instrument, kit, check, equipment, mark or due date it is about."""

    class Kind(models.TextChoices):
        REFUEL = "refuel", _("Refuel")
        EXHAUST_FLUID = "exhaust_fluid", _("Fill up AUS 32")
        GAS = "gas", _("Refill or swap the cylinder")
        FRESH_WATER = "fresh_water", _("Fill the fresh water")
        WASTE_WATER = "waste_water", _("Empty the waste water at an authorised dump point")
        CASSETTE = "cassette", _("Empty and rinse the cassette at an authorised dump point")
        BATTERY = "battery", _("Charge the house battery")
        KIT = "kit", _("Make the kit whole and seal it")
        EQUIPMENT = "equipment", _("Make up the equipment")
        CHECK = "check", _("Put right")
        REPAIR = "repair", _("Repair")
        CLEAN = "clean", _("Clean")
        DUE = "due", _("Have done")
        OTHER = "other", _("Other")

    class Outcome(models.TextChoices):
        DONE = "done", _("done")
        NOT_NEEDED = "not_needed", _("not needed")

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="turnaround_jobs")
    walk = models.ForeignKey(
        WalkRound, on_delete=models.PROTECT, null=True, related_name="turnaround_jobs",
        help_text=_("The return it comes out of; empty when it was found later."),
    )  # fmt: skip
    kind = models.CharField(max_length=14, choices=Kind.choices)
    subject = models.UUIDField(null=True)
    name = models.CharField(max_length=160, help_text=_("Of the instrument, the kit or the mark, or what is to do."))
    amount = models.DecimalField(max_digits=8, decimal_places=2, null=True, help_text=_("About how much, in the unit."))
    amount_unit = models.CharField(max_length=4, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    assigned_to = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    outcome = models.CharField(max_length=10, choices=Outcome.choices, blank=True)
    closed_at = models.DateTimeField(null=True)
    closed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    note = models.CharField(max_length=300, blank=True, help_text=_("What was done, or why it is not needed."))
    reading = models.DecimalField(max_digits=12, decimal_places=3, null=True, help_text=_("After it, as it is kept."))
    photo = models.CharField(max_length=80, blank=True, help_text=_("Name of the kept file."))
    fill = models.OneToOneField(Fill, on_delete=models.PROTECT, null=True, related_name="job")

    class Meta:
        ordering = ["at", "id"]
        indexes = [models.Index(fields=["unit"], condition=Q(closed_at__isnull=True), name="open_jobs_of_a_unit")]
        constraints = [
            models.CheckConstraint(
                condition=Q(closed_at__isnull=True, closed_by__isnull=True, outcome="")
                | (Q(closed_at__isnull=False, closed_by__isnull=False) & ~Q(outcome="")),
                name="a_job_is_open_or_closed",
            ),
            models.CheckConstraint(condition=~Q(outcome="not_needed", note=""), name="not_needed_with_a_reason"),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}: {self.name}"

    @property
    def is_open(self) -> bool:
        return self.closed_at is None

    @property
    def reading_words(self) -> str:
        """As it was read; without the zeros that the column keeps."""
        return figure(self.reading) if self.reading is not None else ""


class NotReady(Written):
    """A unit that goes out with jobs open or something due on the trip, let go for one rental, with the reason.

    `due` is [{"kind", "due_on"}, ...] of the due dates as they stood.
    """

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="+")
    rental = models.ForeignKey(Rental, on_delete=models.PROTECT, related_name="let_go")
    jobs = models.ManyToManyField(TurnaroundJob, related_name="+")
    due = models.JSONField(default=list)
    reason = models.CharField(max_length=300)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    def __str__(self) -> str:
        return f"{self.unit}: {self.reason}"
