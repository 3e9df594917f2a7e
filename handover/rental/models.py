"""Rentals: the agreement, what was prepaid, what was promised at pickup, and the units it used."""

from decimal import Decimal
from typing import Any

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from fleet.models import Branch, Unit
from shared.ids import uuid7


class Customer(models.Model):
    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    name = models.CharField(max_length=120)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    language = models.CharField(max_length=8, default="en")

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class NumberSeries(models.Model):
    """Counts one kind of document of one branch, without gaps: taken inside the transaction that uses it."""

    branch = models.ForeignKey(Branch, on_delete=models.PROTECT, related_name="series")
    kind = models.CharField(max_length=16)
    last = models.PositiveIntegerField(default=0)

    class Meta:
        verbose_name_plural = gettext_lazy("number series")
        constraints = [models.UniqueConstraint(fields=["branch", "kind"], name="one_series_a_kind")]

    def __str__(self) -> str:
        return f"{self.branch} {self.kind}: {self.last}"

    @classmethod
    def take(cls, branch: Branch, kind: str, *, after: int = 0) -> int:
        """The next number; `after` is where a new series begins. Locked until the transaction ends."""
        series, _made = cls.objects.select_for_update().get_or_create(
            branch=branch, kind=kind, defaults={"last": after}
        )
        series.last += 1
        series.save(update_fields=["last"])
        return series.last


class RateCardStands(RuntimeError):
    """A published rate card was about to be changed or deleted: customers sign with it."""


class RateCard(models.Model):
    """Dated prices and rules of a branch. A draft can be edited; once published it counts and never changes."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    branch = models.ForeignKey(Branch, on_delete=models.PROTECT, related_name="rate_cards")
    number = models.PositiveIntegerField(help_text=gettext_lazy("Counts up; the newest valid one counts."))
    valid_from = models.DateField()
    rules = models.JSONField(help_text=gettext_lazy("Fuel, gas, kits, late return and the other rules of charging."))
    note = models.CharField(max_length=120, blank=True)
    draft = models.BooleanField(default=False, editable=False)

    class Meta:
        ordering = ["branch", "-number"]
        constraints = [models.UniqueConstraint(fields=["branch", "number"], name="one_rate_card_a_number")]

    def __str__(self) -> str:
        return _("Rate card %(number)s, %(branch)s") % {"number": self.number, "branch": self.branch}

    def save(self, *args: Any, **kwargs: Any) -> None:
        self._check_draft()
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        self._check_draft()
        return super().delete(*args, **kwargs)

    def _check_draft(self) -> None:
        """What the database holds decides, not this object."""
        if not self._state.adding and RateCard.objects.filter(pk=self.pk, draft=False).exists():
            raise RateCardStands(_("%(self)s is published and stays as it is. A new one follows it.") % {"self": self})


class ExtraOffer(models.Model):
    """An Extra as it is sold: what it covers and up to what."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    branch = models.ForeignKey(Branch, on_delete=models.PROTECT, related_name="extra_offers")
    code = models.SlugField()
    name = models.CharField(max_length=80)
    covers = models.JSONField(help_text=gettext_lazy('Limits and tiers, such as {"limits": {"fuel_litres": "20"}}.'))
    price = models.DecimalField(max_digits=12, decimal_places=3, validators=[MinValueValidator(0)])
    sold_text = models.TextField(
        blank=True, help_text=gettext_lazy("The words it is sold with: in a dispute they count.")
    )
    retired = models.BooleanField(default=False)

    class Meta:
        ordering = ["branch", "name"]
        constraints = [models.UniqueConstraint(fields=["branch", "code"], name="one_extra_a_code")]

    def __str__(self) -> str:
        return self.name


class Rental(models.Model):
    class State(models.TextChoices):
        BOOKED = "booked", gettext_lazy("Booked")
        PICKUP = "pickup", gettext_lazy("Pickup under way")
        OUT = "out", gettext_lazy("Out")
        SWAP = "swap", gettext_lazy("Unit swap under way")
        RETURN = "return", gettext_lazy("Return under way")
        BACK = "back", gettext_lazy("Back, statement to settle")
        SETTLED = "settled", gettext_lazy("Settled")
        CANCELLED = "cancelled", gettext_lazy("Cancelled")

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    number = models.CharField(max_length=20, unique=True)
    branch = models.ForeignKey(Branch, on_delete=models.PROTECT, related_name="rentals")
    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="rentals")
    planned_out_at = models.DateTimeField()
    planned_back_at = models.DateTimeField()
    charged_days = models.PositiveSmallIntegerField(validators=[MinValueValidator(1)])
    liability_option = models.CharField(max_length=60, blank=True)
    excess = models.DecimalField(max_digits=12, decimal_places=3, default=Decimal(0))
    deposit_held = models.DecimalField(max_digits=12, decimal_places=3, default=Decimal(0))
    state = models.CharField(max_length=10, choices=State.choices, default=State.BOOKED)
    # What was promised, copied at the pickup signature: rate card, tax, tanks, equipment, Extras. Never changed after.
    frozen = models.JSONField(null=True, blank=True, editable=False)
    frozen_at = models.DateTimeField(null=True, blank=True, editable=False)
    outside_reference = models.CharField(
        max_length=60, blank=True, help_text=gettext_lazy("The booking's number elsewhere.")
    )

    class Meta:
        ordering = ["planned_out_at"]
        indexes = [
            models.Index(fields=["branch", "planned_out_at"], name="rental_out"),
            models.Index(fields=["branch", "planned_back_at"], name="rental_back"),
            models.Index(fields=["branch", "state"], name="rental_state"),
        ]
        constraints = [
            models.CheckConstraint(condition=Q(planned_back_at__gt=F("planned_out_at")), name="back_after_out"),
            models.CheckConstraint(condition=Q(excess__gte=0) & Q(deposit_held__gte=0), name="amounts_not_negative"),
            models.UniqueConstraint(
                fields=["branch", "outside_reference"],
                condition=~Q(outside_reference=""),
                name="one_booking_a_reference",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def currency(self) -> str:
        return self.branch.currency


# A unit of a rental in one of these is not free for another in the same time.
TAKES_A_UNIT = [
    Rental.State.BOOKED, Rental.State.PICKUP, Rental.State.OUT, Rental.State.SWAP, Rental.State.RETURN,
]  # fmt: skip


class Driver(models.Model):
    """A named driver; the licence is seen, not copied."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.CASCADE, related_name="drivers")
    name = models.CharField(max_length=120)
    licence_expires_on = models.DateField(null=True, blank=True)

    def __str__(self) -> str:
        return self.name


class RentalExtra(models.Model):
    """An Extra this customer bought, as it was sold then."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.CASCADE, related_name="extras")
    name = models.CharField(max_length=80)
    covers = models.JSONField()
    price = models.DecimalField(max_digits=12, decimal_places=3, validators=[MinValueValidator(0)])
    purchased_at = models.DateTimeField()

    class Meta:
        ordering = ["purchased_at", "id"]

    def __str__(self) -> str:
        return self.name


class Leg(models.Model):
    """One unit for one stretch of the rental. A swap ends one leg and begins the next."""

    class EndedBy(models.TextChoices):
        RETURN = "return", gettext_lazy("Return")
        OPERATOR = "operator", gettext_lazy("Swap, operator's cause")
        CUSTOMER = "customer", gettext_lazy("Swap, customer's cause")

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.CASCADE, related_name="legs")
    number = models.PositiveSmallIntegerField(default=1)
    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="legs")
    started_at = models.DateTimeField(null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.CharField(max_length=10, choices=EndedBy.choices, blank=True)
    cause = models.CharField(max_length=200, blank=True)
    # Letters and digits alone, as it left: a unit can get another plate while it is out.
    plate = models.CharField(max_length=20, blank=True, db_index=True)

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["rental", "number"], name="one_leg_a_number"),
            models.CheckConstraint(
                condition=Q(ended_at__isnull=True) | Q(ended_at__gte=F("started_at")), name="leg_ends_after_it_starts"
            ),
        ]

    def __str__(self) -> str:
        return _("%(rental)s, leg %(number)s") % {"rental": self.rental, "number": self.number}
