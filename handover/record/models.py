"""Records: sealed PDFs, each under its number and digest."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from handover.rental.models import Leg, Rental
from handover.statement.models import Statement
from shared.ids import uuid7


class Record(models.Model):
    class Kind(models.TextChoices):
        PICKUP = "pickup", _("Pickup")
        RETURN = "return", _("Return")

    class State(models.TextChoices):
        WAITING = "waiting", _("being made")
        READY = "ready", "ready"
        FAILED = "failed", _("could not be made")

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.PROTECT, related_name="records")
    leg = models.ForeignKey(Leg, on_delete=models.PROTECT, related_name="records")
    kind = models.CharField(max_length=6, choices=Kind.choices)
    version = models.PositiveSmallIntegerField(default=1)
    statement = models.OneToOneField(Statement, on_delete=models.PROTECT, null=True, blank=True, related_name="record")
    code = models.CharField(max_length=12, help_text=_("Typed with the number to look the record up; not guessable."))
    state = models.CharField(max_length=8, choices=State.choices, default=State.WAITING)
    problem = models.CharField(max_length=300, blank=True)
    file = models.CharField(max_length=120, blank=True)
    size = models.PositiveIntegerField(default=0)
    pdf_sha256 = models.CharField(max_length=64, blank=True)
    json_sha256 = models.CharField(max_length=64, blank=True)
    previous_sha256 = models.CharField(
        max_length=64, blank=True, help_text=_("Of the record before it of this rental.")
    )
    made_at = models.DateTimeField()

    class Meta:
        ordering = ["rental", "made_at"]
        constraints = [models.UniqueConstraint(fields=["rental", "kind", "version"], name="one_record_a_version")]

    def __str__(self) -> str:
        return f"{self.rental.number} {self.kind} {self.version}"
