"""What is decided about damages: which are one event, what a repair costs. Later rows count, earlier ones stay."""

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from handover.rental.models import Rental
from handover.walkround.models import Mark
from handover.written import Written
from shared.ids import uuid7


class Grouping(Written):
    """Which marks are one event, for the whole rental at once, and why somebody says so."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.PROTECT, related_name="groupings")
    # [{"id": "E1", "cause": "…", "place": "…", "at": "… or empty", "marks": ["uuid", …]}, …]
    events = models.JSONField()
    reason = models.CharField(max_length=300)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["at", "id"]


class MoveVerdict(Written):
    """Of a mark on a unit that was moved before anybody photographed it: charged all the same, or dropped, and why."""

    class Outcome(models.TextChoices):
        CHARGED = "charged", _("Charged all the same")
        DROPPED = "dropped", _("Not charged")

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.PROTECT, related_name="move_verdicts")
    mark = models.ForeignKey(Mark, on_delete=models.PROTECT, related_name="move_verdicts")
    outcome = models.CharField(max_length=7, choices=Outcome.choices)
    words = models.CharField(max_length=300)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["at", "id"]


class RepairPrice(Written):
    """What somebody asks for the repair of a mark: an estimate, or the invoice that settles it."""

    class Basis(models.TextChoices):
        ESTIMATE = "estimate", _("Estimate")
        INVOICE = "invoice", _("Invoice")

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.PROTECT, related_name="repair_prices")
    mark = models.ForeignKey(Mark, on_delete=models.PROTECT, related_name="repair_prices")
    basis = models.CharField(max_length=8, choices=Basis.choices)
    amount = models.DecimalField(max_digits=12, decimal_places=3, validators=[MinValueValidator(0)])
    reference = models.CharField(max_length=80, help_text=_("Whose, and its number."))
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["at", "id"]
