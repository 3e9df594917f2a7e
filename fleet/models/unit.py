"""Units: single vehicles, with what differs from their layout."""

from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from fleet.models.branch import Branch
from fleet.models.layout import Instrument, Kit, Layout
from fleet.vin import BadVin, checked_vin
from shared.ids import uuid7
from shared.phrasebook import said


class Unit(models.Model):
    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    branch = models.ForeignKey(Branch, on_delete=models.PROTECT, related_name="units")
    layout = models.ForeignKey(Layout, on_delete=models.PROTECT, related_name="units")
    number = models.CharField(max_length=10, unique=True)
    plate = models.CharField(max_length=16, unique=True)
    vin = models.CharField("VIN", max_length=20, blank=True)
    vin_has_check_digit = models.BooleanField(gettext_lazy("VIN has a check digit"), default=False)
    odometer_km = models.PositiveIntegerField(default=0)
    in_service_on = models.DateField(help_text=gettext_lazy("From then on the equipment ages."))
    retired = models.BooleanField(default=False)

    class Meta:
        ordering = ["number"]

    def __str__(self) -> str:
        return _("Unit %(number)s") % {"number": self.number}

    def clean(self) -> None:
        if self.vin:
            try:
                self.vin = checked_vin(self.vin, with_check_digit=self.vin_has_check_digit)
            except BadVin as problem:
                raise ValidationError({"vin": said(str(problem))}) from problem


class UnitInstrument(models.Model):
    """Where this unit's tank, cylinder or gauge differs from the layout's."""

    unit = models.ForeignKey(Unit, on_delete=models.CASCADE, related_name="overrides")
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="overrides")
    serial = models.CharField(max_length=40, blank=True)
    capacity = models.DecimalField(max_digits=8, decimal_places=2, null=True, blank=True)
    half_width = models.DecimalField(max_digits=6, decimal_places=3, null=True, blank=True)
    tare_kg = models.DecimalField(max_digits=6, decimal_places=2, null=True, blank=True)
    net_kg = models.DecimalField(max_digits=6, decimal_places=2, null=True, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["unit", "instrument"], name="one_override_an_instrument")]

    def __str__(self) -> str:
        return f"{self.unit}: {self.instrument}"


class UnitKit(models.Model):
    """The kit in this unit now: its seal number and when it expires."""

    unit = models.ForeignKey(Unit, on_delete=models.CASCADE, related_name="kits")
    kit = models.ForeignKey(Kit, on_delete=models.PROTECT, related_name="in_units")
    seal_number = models.CharField(max_length=20, blank=True)
    expires_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["unit", "kit"], name="one_kit_of_a_kind")]

    def __str__(self) -> str:
        return f"{self.unit}: {self.kit} {self.seal_number}".strip()


class DueDate(models.Model):
    class Kind(models.TextChoices):
        REGISTRATION = "registration", gettext_lazy("Registration")
        INSURANCE = "insurance", gettext_lazy("Insurance")
        GAS = "gas", gettext_lazy("Gas inspection")
        ELECTRICAL = "electrical", gettext_lazy("Electrical inspection")
        EXTINGUISHER = "extinguisher", gettext_lazy("Extinguisher service")
        FIRST_AID = "first_aid", gettext_lazy("First aid kit expiry")
        ALARMS = "alarms", gettext_lazy("Gas and smoke alarms, end of life")
        TYRES = "tyres", gettext_lazy("Tyres")

    unit = models.ForeignKey(Unit, on_delete=models.CASCADE, related_name="due_dates")
    kind = models.CharField(max_length=12, choices=Kind.choices)
    due_on = models.DateField()

    class Meta:
        ordering = ["due_on"]
        constraints = [models.UniqueConstraint(fields=["unit", "kind"], name="one_due_date_a_kind")]

    def __str__(self) -> str:
        return _("%(kind)s due %(due_on)s") % {"kind": self.get_kind_display(), "due_on": self.due_on}
