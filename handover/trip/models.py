"""What happens between pickup and return, and the notices that come weeks later. Nothing is overwritten.

`at` is when it happened, `noted_at` when somebody entered it: a note made at the time beats a memory.
"""

from decimal import Decimal

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from fleet.models import Unit
from handover.photo.kept import KeptPhoto
from handover.rental.models import Leg, Rental
from shared.ids import uuid7


class Whose(models.TextChoices):
    OPERATOR = "operator", gettext_lazy("The branch’s")
    CUSTOMER = "customer", gettext_lazy("The customer’s")
    NOT_KNOWN = "not_known", gettext_lazy("Not known yet")


class TripEvent(models.Model):
    """The client's key is its primary key, so that a replay finds it."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.PROTECT, related_name="%(class)ss")
    at = models.DateTimeField()
    noted_at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        abstract = True
        ordering = ["at", "id"]


class Extension(TripEvent):
    """More days, agreed by some channel. Only a confirmed one moves the planned return and counts for the price."""

    days = models.PositiveSmallIntegerField()
    day_rate = models.DecimalField(max_digits=12, decimal_places=3)
    new_return_at = models.DateTimeField()
    channel = models.CharField(max_length=60)
    was_back_at = models.DateTimeField(
        null=True, blank=True, help_text=gettext_lazy("The planned return that it replaced.")
    )
    confirmed_at = models.DateTimeField(null=True, blank=True)
    confirmed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta(TripEvent.Meta):
        constraints = [
            models.CheckConstraint(condition=Q(day_rate__gte=0), name="extension_rate_not_negative"),
            models.CheckConstraint(
                condition=Q(confirmed_at__isnull=True, was_back_at__isnull=True, confirmed_by__isnull=True)
                | Q(confirmed_at__isnull=False, new_return_at__gte=F("was_back_at"), confirmed_by__isnull=False),
                name="extension_confirmed_whole",
            ),
        ]


class Swap(TripEvent):
    """One unit given back for another. `to_leg` is there once the first unit's return is finished; `at` is its end."""

    from_leg = models.OneToOneField(Leg, on_delete=models.PROTECT, related_name="swapped_by")
    to_unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="+")
    to_leg = models.OneToOneField(Leg, on_delete=models.PROTECT, null=True, blank=True, related_name="swapped_in_by")
    cause = models.CharField(max_length=10, choices=[row for row in Whose.choices if row[0] != Whose.NOT_KNOWN])
    reason = models.CharField(max_length=200)
    place = models.CharField(max_length=120)
    moved = models.CharField(max_length=200, blank=True, help_text=gettext_lazy("What went over into the other unit."))


class GasReceipt(TripEvent):
    """Gas that the customer bought; in another currency with what the card was charged, or the day's rate."""

    ref = models.CharField(max_length=60)
    amount = models.DecimalField(max_digits=12, decimal_places=3)
    currency = models.CharField(max_length=3)
    card_amount = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    rate = models.DecimalField(max_digits=14, decimal_places=8, null=True, blank=True)
    reason = models.CharField(max_length=200)
    operator_fault = models.BooleanField()

    class Meta(TripEvent.Meta):
        constraints = [
            models.UniqueConstraint(fields=["rental", "ref"], name="one_gas_receipt_a_ref"),
            models.CheckConstraint(condition=Q(amount__gt=0), name="gas_receipt_above_nothing"),
        ]


class Fault(TripEvent):
    """What the customer reports as not working, and what they were told to do."""

    leg = models.ForeignKey(Leg, on_delete=models.PROTECT, related_name="faults")
    system = models.CharField(max_length=60)
    symptom = models.CharField(max_length=300)
    drivable = models.BooleanField()
    instruction = models.CharField(max_length=300, blank=True)
    place = models.CharField(max_length=120, blank=True)
    odometer_km = models.PositiveIntegerField(null=True, blank=True)


class RoadsideCall(TripEvent):
    """Assistance on the spot; `at` is its arrival. `distance` was driven for the branch and is not the customer's."""

    leg = models.ForeignKey(Leg, on_delete=models.PROTECT, related_name="roadside_calls")
    case_reference = models.CharField(max_length=60)
    diagnosis = models.CharField(max_length=300)
    cause = models.CharField(max_length=10, choices=Whose.choices)
    distance = models.DecimalField(max_digits=7, decimal_places=1, default=Decimal(0))
    distance_unit = models.CharField(max_length=2, choices=[("km", "km"), ("mi", "mi")])


class OperatorWait(TripEvent):
    """The customer waited on the branch from `at` to `until`: that time is never late."""

    until = models.DateTimeField()
    cause = models.CharField(max_length=200)

    class Meta(TripEvent.Meta):
        constraints = [models.CheckConstraint(condition=Q(until__gte=F("at")), name="wait_ends_after_it_starts")]


class LatenessStop(TripEvent):
    """From `at` on lateness is not counted."""

    class Cause(models.TextChoices):
        THEFT = "theft_report", gettext_lazy("Theft reported")
        BREAKDOWN = "breakdown_report", gettext_lazy("Breakdown reported")
        INSTRUCTION = "operator_instruction", gettext_lazy("The branch told them to wait or go elsewhere")

    cause = models.CharField(max_length=20, choices=Cause.choices)
    reference = models.CharField(max_length=60, blank=True, help_text=gettext_lazy("Police or case reference."))


class DisplacedCustomer(TripEvent):
    """What the next customer, who had to wait for this unit, actually cost."""

    cost = models.DecimalField(max_digits=12, decimal_places=3)
    proof = models.CharField(max_length=120)


class ExcessReduction(TripEvent):
    """A lower excess bought after pickup: it counts for what happens from `from_at` on."""

    excess = models.DecimalField(max_digits=12, decimal_places=3)
    price = models.DecimalField(max_digits=12, decimal_places=3)
    from_at = models.DateTimeField()

    class Meta(TripEvent.Meta):
        constraints = [
            models.CheckConstraint(condition=Q(from_at__gte=F("at")), name="reduction_runs_after_it_is_bought"),
            models.CheckConstraint(condition=Q(excess__gte=0, price__gte=0), name="reduction_not_negative"),
        ]


class Notice(TripEvent):
    """A fine or toll, assigned to the leg that had the plate at the offence time, which is `at`."""

    class Kind(models.TextChoices):
        FINE = "fine", gettext_lazy("Fine")
        TOLL = "toll", gettext_lazy("Toll")

    class Handling(models.TextChoices):
        NOMINATED = "driver_nominated", gettext_lazy("The driver is named to the authority")
        PAID = "paid_by_operator", gettext_lazy("The branch pays and passes it on")

    leg = models.ForeignKey(Leg, on_delete=models.PROTECT, related_name="notices")
    kind = models.CharField(max_length=4, choices=Kind.choices)
    ref = models.CharField(max_length=60)
    authority = models.CharField(max_length=120)
    plate = models.CharField(max_length=16)
    place = models.CharField(max_length=120, blank=True)
    zone = models.CharField(max_length=64, help_text=gettext_lazy("Whose clocks the offence time is by."))
    amount = models.DecimalField(max_digits=12, decimal_places=3)
    handling = models.CharField(max_length=16, choices=Handling.choices)
    received_on = models.DateField()
    deadline_on = models.DateField(null=True, blank=True)
    penalty = models.DecimalField(max_digits=12, decimal_places=3, default=Decimal(0))
    operator_delay = models.BooleanField(
        default=False, help_text=gettext_lazy("It lay at the branch past its deadline.")
    )
    operator_caused = models.BooleanField(default=False)
    customer_told_on = models.DateField(null=True, blank=True)

    class Meta(TripEvent.Meta):
        constraints = [
            models.UniqueConstraint(fields=["kind", "ref", "authority"], name="one_notice_a_number"),
            models.CheckConstraint(
                condition=Q(amount__gt=0, penalty__gte=0, penalty__lte=F("amount")), name="penalty_within_the_notice"
            ),
        ]


class TripPhoto(KeptPhoto):
    """A photo of a receipt, a notice, a fault: kept under its digest, without its place. `event` is what it shows."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.PROTECT, related_name="trip_photos")
    event = models.UUIDField()
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["at", "id"]
        indexes = [models.Index(fields=["event"], name="trip_photo_event")]

    def __str__(self) -> str:
        return _("Photo %(kept_sha256)s") % {"kept_sha256": self.kept_sha256[:8]}
