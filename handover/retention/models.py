"""The schedule of a branch, what holds it back, what persons asked for, and what was erased when. No personal data."""

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from fleet.models import Branch
from handover.rental.models import Customer, Rental
from handover.retention.kinds import MOST_DAYS, Kind
from handover.written import Written
from shared.ids import uuid7

KINDS = [(kind.value, kind.value) for kind in Kind]


class Why(models.TextChoices):
    SCHEDULE = "schedule", _("by schedule")
    REQUEST = "request", _("on request")


class RetentionTerm(models.Model):
    """For how many days a branch keeps a kind of data. A kind without a row has the days of kinds.py."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    branch = models.ForeignKey(Branch, on_delete=models.CASCADE, related_name="retention_terms")
    kind = models.CharField(max_length=12, choices=KINDS)
    days = models.PositiveIntegerField(validators=[MinValueValidator(1), MaxValueValidator(MOST_DAYS)])

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["branch", "kind"], name="one_term_a_kind"),
            models.CheckConstraint(condition=Q(days__gte=1, days__lte=MOST_DAYS), name="a_term_of_some_days"),
        ]


class LegalHold(Written):
    """Nothing of this rental goes while it stands: until its last day, or until somebody lifts it."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.PROTECT, related_name="legal_holds")
    reason = models.CharField(max_length=300)
    until = models.DateField(null=True, help_text=_("The last day; empty: until it is lifted."))
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    lifted_at = models.DateTimeField(null=True)
    lifted_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["at", "id"]
        indexes = [models.Index(fields=["rental"], condition=Q(lifted_at=None), name="legal_hold_standing")]
        constraints = [
            models.CheckConstraint(condition=~Q(reason=""), name="held_with_a_reason"),
            models.CheckConstraint(
                condition=Q(lifted_at__isnull=True, lifted_by__isnull=True)
                | Q(lifted_at__isnull=False, lifted_by__isnull=False),
                name="lifted_by_somebody",
            ),
        ]


class ErasureRequest(models.Model):
    """A person asked that their data go. Open until nothing is held back any more: the nightly run goes on with it."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="erasure_requests")
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    done_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["at", "id"]
        indexes = [models.Index(fields=["customer"], condition=Q(done_at=None), name="erasure_request_open")]


class Erasure(models.Model):
    """One erasing of one rental, as its ledger entry states it: `counts` is how many of each kind."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.PROTECT, related_name="erasures")
    why = models.CharField(max_length=8, choices=Why.choices)
    counts = models.JSONField()
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["at", "id"]


class ErasedKind(models.Model):
    """That a kind of a rental was gone through whole, and when last: it is not looked at every night again."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.PROTECT, related_name="erased_kinds")
    kind = models.CharField(max_length=12, choices=KINDS)
    on = models.DateField()
    why = models.CharField(max_length=8, choices=Why.choices)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["rental", "kind"], name="one_erased_kind_a_rental")]


class ErasedFile(models.Model):
    """A kept file that one rental no longer needs. `removed_at`: no other row needed it either, and its bytes are gone.

    The rows that name it stay: digest, number and kind of what was there.
    """

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.PROTECT, related_name="erased_files")
    name = models.CharField(max_length=120, db_index=True)
    on = models.DateField()
    why = models.CharField(max_length=8, choices=Why.choices)
    removed_at = models.DateTimeField(null=True)

    class Meta:
        indexes = [models.Index(fields=["name"], condition=Q(removed_at=None), name="erased_file_still_there")]
        constraints = [models.UniqueConstraint(fields=["rental", "name"], name="one_erased_file_a_rental")]
