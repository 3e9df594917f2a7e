"""Money that moved: the deposit held, captured and released, the balance paid, the refund. No card data, ever."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from handover.rental.models import Rental
from handover.statement.models import Statement
from shared.ids import uuid7


class Movement(models.Model):
    """One movement, written once. `hold` is the hold that a capture or release is of; the amount is above zero."""

    class Kind(models.TextChoices):
        HELD = "held", _("Deposit held")
        CAPTURED = "captured", _("Captured from the deposit")
        RELEASED = "released", _("Deposit released")
        PAID = "paid", _("Balance paid")
        REFUNDED = "refunded", _("Refunded")

    class Method(models.TextChoices):
        CARD = "card", _("Card")
        CASH = "cash", _("Cash")
        TRANSFER = "transfer", _("Transfer")

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.PROTECT, related_name="movements")
    statement = models.ForeignKey(
        Statement, on_delete=models.PROTECT, null=True, blank=True, related_name="movements",
        help_text=_("The version it was made for; none before the first is settled."),
    )  # fmt: skip
    hold = models.ForeignKey("self", on_delete=models.PROTECT, null=True, blank=True, related_name="taken")
    kind = models.CharField(max_length=8, choices=Kind.choices)
    method = models.CharField(max_length=8, choices=Method.choices)
    amount = models.DecimalField(max_digits=12, decimal_places=3)
    currency = models.CharField(max_length=3)
    reference = models.CharField(
        max_length=60, blank=True, help_text=_("Authorisation or receipt; never a card number.")
    )
    expires_on = models.DateField(null=True, blank=True, help_text=_("The last day on which a hold can be captured."))
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["at", "id"]
        indexes = [models.Index(fields=["rental", "kind"], name="movement_rental_kind")]
        constraints = [
            models.CheckConstraint(condition=Q(amount__gt=0), name="movement_above_nothing"),
            models.CheckConstraint(
                condition=Q(kind__in=["captured", "released"], hold__isnull=False)
                | (~Q(kind__in=["captured", "released"]) & Q(hold__isnull=True)),
                name="taken_from_a_hold",
            ),
            models.CheckConstraint(condition=Q(kind="held") | Q(expires_on__isnull=True), name="only_a_hold_lapses"),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {self.amount} {self.currency}"
