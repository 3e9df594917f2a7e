"""What is kept of tanks: fills with gauge and receipt, and the curves that were put to use. Rows are only added."""

from decimal import Decimal

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from consumables import tank
from fleet.models import Instrument, Layout, Unit
from shared.ids import uuid7

PART = [MinValueValidator(Decimal(0)), MaxValueValidator(Decimal(1))]


class Fill(models.Model):
    """What the gauge showed before and after, as parts of full, and the litres of the pump's receipt between them."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="fills")
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="fills")
    before = models.DecimalField(max_digits=6, decimal_places=5, validators=PART)
    after = models.DecimalField(max_digits=6, decimal_places=5, validators=PART)
    litres = models.DecimalField(max_digits=7, decimal_places=2)
    to_click = models.BooleanField(_("until the pump stopped by itself"), default=False)
    cost = models.DecimalField(max_digits=10, decimal_places=2, null=True, blank=True)
    currency = models.CharField(max_length=3, blank=True)
    receipt_photo = models.CharField(max_length=80, blank=True, help_text=_("Name of the kept file."))
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["at", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(before__gte=0, before__lte=1, after__gte=0, after__lte=1), name="fill_within_the_gauge"
            ),
            models.CheckConstraint(condition=Q(litres__gt=0), name="fill_of_some_litres"),
        ]

    def __str__(self) -> str:
        return f"{self.unit}: {self.litres} L"

    @property
    def as_learned(self) -> tank.Fill:
        return tank.Fill(str(self.pk), self.before, self.after, self.litres, to_click=self.to_click)


class TankCurve(models.Model):
    """Litres at even places of a gauge, from a day on, for one unit or for all of a layout that have none of their own.

    litres, standard_uncertainty and covariance (litres squared) as lists from empty to full; the last two are empty for
    the straight line. What was frozen at an earlier pickup stays as it was.
    """

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, null=True, blank=True, related_name="curves")
    layout = models.ForeignKey(Layout, on_delete=models.PROTECT, null=True, blank=True, related_name="curves")
    code = models.SlugField(help_text=_("Of the instrument."))
    litres = models.JSONField()
    standard_uncertainty = models.JSONField(default=list, blank=True)
    covariance = models.JSONField(default=list, blank=True)
    learned_from = models.PositiveIntegerField(default=0, help_text=_("Receipts."))
    valid_from = models.DateField()
    at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["valid_from", "at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(unit__isnull=False, layout__isnull=True) | Q(unit__isnull=True, layout__isnull=False),
                name="curve_of_a_unit_or_a_layout",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.unit or self.layout}: {self.code}"

    @property
    def curve(self) -> tank.TankCurve:
        return tank.TankCurve(tuple(map(Decimal, self.litres)))

    @property
    def is_learned(self) -> bool:
        return self.learned_from > 0
