"""Statements, each version kept with the exact inputs it was priced from, and signatures."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from handover.rental.models import Rental
from handover.walkround.models import WalkRound
from handover.written import Written
from shared.ids import uuid7


class Statement(models.Model):
    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.PROTECT, related_name="statements")
    version = models.PositiveSmallIntegerField()
    # Both are canonical JSON (RFC 8785): pricing the same inputs again gives the same bytes.
    inputs = models.TextField(editable=False)
    result = models.TextField(editable=False)
    rules_version = models.CharField(max_length=20)
    digest = models.CharField(max_length=64, help_text=gettext_lazy("SHA-256 of the result's bytes."))
    total = models.DecimalField(max_digits=12, decimal_places=3)
    currency = models.CharField(max_length=3)
    drawn_up_at = models.DateTimeField()
    drawn_up_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    # The last day to object for a customer who was not present at the return; set when it is settled.
    objection_until = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["rental", "version"]
        constraints = [models.UniqueConstraint(fields=["rental", "version"], name="one_statement_a_version")]

    def __str__(self) -> str:
        return _("Statement %(version)s of %(rental)s") % {"version": self.version, "rental": self.rental}


class Signature(Written):
    """Bound to the digest of exactly what was shown: any later change needs a new one."""

    class Outcome(models.TextChoices):
        SIGNED = "signed", "signed"
        REFUSED = "refused", gettext_lazy("refused to sign")
        ABSENT = "absent", gettext_lazy("not present")

    class Role(models.TextChoices):
        CUSTOMER = "customer", "customer"
        STAFF = "staff", "staff"

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.PROTECT, related_name="signatures")
    walk = models.ForeignKey(WalkRound, on_delete=models.PROTECT, null=True, blank=True, related_name="signatures")
    statement = models.ForeignKey(Statement, on_delete=models.PROTECT, null=True, blank=True, related_name="signatures")
    role = models.CharField(max_length=8, choices=Role.choices)
    name = models.CharField(max_length=120)
    outcome = models.CharField(max_length=8, choices=Outcome.choices)
    reason = models.CharField(max_length=300, blank=True)
    strokes = models.JSONField(default=list)
    content_sha256 = models.CharField(max_length=64)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["at", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(walk__isnull=False, statement__isnull=True) | Q(walk__isnull=True, statement__isnull=False),
                name="signed_for_one_thing",
            ),
            models.CheckConstraint(condition=Q(outcome="signed") | ~Q(reason=""), name="unsigned_with_a_reason"),
        ]
