"""What a layout carries to live on, where things are in it, and what the branch gives a customer for the nights.

Power at 12 V. A value nobody entered stays empty: what rests on it is then left out, never guessed.
"""

from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from fleet.models.branch import Branch
from fleet.models.layout import Kit, Layout
from fleet.models.unit import Unit

CHEMISTRIES = [
    ("flooded", _("Lead, flooded")),
    ("agm", _("Lead, AGM")),
    ("gel", _("Lead, gel")),
    ("lithium", _("Lithium iron phosphate")),
]
POSITIVE = [MinValueValidator(Decimal("0.1"))]
NOT_NEGATIVE = [MinValueValidator(0)]
GAS = RegexValidator(
    r"^(propane|butane|\d{1,2}/\d{1,2} by (mass|mole))$",
    _("Write propane, butane, or 60/40 by mass: propane first, and by mass or by mole, since they differ."),
)


class LayoutStores(models.Model):
    """Battery, chargers, tanks and gas as the layout is built."""

    layout = models.OneToOneField(Layout, on_delete=models.CASCADE, related_name="stores")
    battery_chemistry = models.CharField(max_length=8, choices=CHEMISTRIES, blank=True)
    battery_ah = models.DecimalField(
        _("house battery, Ah"), max_digits=6, decimal_places=1, null=True, blank=True, validators=POSITIVE
    )
    charger_a = models.DecimalField(
        _("mains charger, A"), max_digits=5, decimal_places=1, null=True, blank=True, validators=NOT_NEGATIVE
    )
    drive_charger_a = models.DecimalField(
        _("charger on the road, A"), max_digits=5, decimal_places=1, null=True, blank=True, validators=NOT_NEGATIVE,
        help_text=_("What reaches the house battery while driving."),
    )  # fmt: skip
    solar_w = models.PositiveSmallIntegerField(_("solar panel, W"), default=0, help_text=_("0 where none is fitted."))
    fresh_l = models.DecimalField(
        _("fresh water, L"), max_digits=5, decimal_places=1, null=True, blank=True, validators=POSITIVE
    )
    waste_l = models.DecimalField(
        _("waste water, L"), max_digits=5, decimal_places=1, null=True, blank=True, validators=POSITIVE
    )
    cassette_l = models.DecimalField(
        _("toilet cassette, L"), max_digits=5, decimal_places=1, null=True, blank=True, validators=POSITIVE
    )
    gas = models.CharField(max_length=24, default="propane", validators=[GAS])

    class Meta:
        verbose_name = verbose_name_plural = _("battery, tanks and gas")

    def __str__(self) -> str:
        return f"{self.layout}: {self._meta.verbose_name}"


class UnitStores(models.Model):
    """Where this unit's battery, chargers or solar panel differ from its layout's. Empty: as the layout."""

    unit = models.OneToOneField(Unit, on_delete=models.CASCADE, related_name="stores")
    battery_chemistry = models.CharField(max_length=8, choices=CHEMISTRIES, blank=True)
    battery_ah = models.DecimalField(
        _("house battery, Ah"), max_digits=6, decimal_places=1, null=True, blank=True, validators=POSITIVE
    )
    charger_a = models.DecimalField(
        _("mains charger, A"), max_digits=5, decimal_places=1, null=True, blank=True, validators=NOT_NEGATIVE
    )
    drive_charger_a = models.DecimalField(
        _("charger on the road, A"), max_digits=5, decimal_places=1, null=True, blank=True, validators=NOT_NEGATIVE
    )
    solar_w = models.PositiveSmallIntegerField(_("solar panel, W"), null=True, blank=True)

    class Meta:
        verbose_name = verbose_name_plural = _("battery and chargers that differ from the layout")

    def __str__(self) -> str:
        return f"{self.unit}: {self._meta.verbose_name}"


class Load(models.Model):
    """What uses the house battery or the gas, for how long on a usual day."""

    layout = models.ForeignKey(Layout, on_delete=models.CASCADE, related_name="loads")
    order = models.PositiveSmallIntegerField(default=0)
    name = models.CharField(max_length=40)
    draws = models.CharField(
        max_length=8, choices=[("battery", _("House battery, watts")), ("gas", _("Gas, grams an hour"))]
    )
    amount = models.DecimalField(
        max_digits=7, decimal_places=1, validators=POSITIVE, help_text=_("Watts, or grams of gas an hour, while on.")
    )
    hours = models.DecimalField(
        max_digits=4, decimal_places=2, default=Decimal(0), validators=[MinValueValidator(0), MaxValueValidator(24)],
        help_text=_("A day. A refrigerator that runs a third of the time is on for 8."),
    )  # fmt: skip
    hours_each = models.DecimalField(
        _("more hours for each person"), max_digits=4, decimal_places=2, default=Decimal(0),
        validators=[MinValueValidator(0), MaxValueValidator(24)],
    )  # fmt: skip
    in_frost = models.BooleanField(_("on cold nights only"), default=False)
    not_on_mains = models.BooleanField(_("off while plugged in"), default=False)

    class Meta:
        ordering = ["order", "id"]

    def __str__(self) -> str:
        return self.name


class CardPlace(models.Model):
    """Where a thing is: a letter on the Cab card's plan, in the order of the rows, with its words."""

    layout = models.ForeignKey(Layout, on_delete=models.CASCADE, related_name="card_places")
    order = models.PositiveSmallIntegerField(default=0)
    title = models.CharField(max_length=48)
    words = models.CharField(max_length=60, blank=True)
    x_mm = models.IntegerField()
    y_mm = models.IntegerField()
    kit = models.ForeignKey(
        Kit, on_delete=models.SET_NULL, null=True, blank=True, related_name="+",
        help_text=_("Its seal number is printed with the words."),
    )  # fmt: skip

    class Meta:
        verbose_name = _("place on the Cab card")
        verbose_name_plural = _("places on the Cab card")
        ordering = ["order", "id"]

    def __str__(self) -> str:
        return self.title


class EmergencyStep(models.Model):
    """What to do, on the Cab card: short, as people would shout it. The number is the country's or the yard's."""

    branch = models.ForeignKey(Branch, on_delete=models.CASCADE, related_name="emergency_steps")
    order = models.PositiveSmallIntegerField(default=0)
    title = models.CharField(max_length=40)
    text = models.CharField(max_length=120)
    number = models.CharField(_("telephone number"), max_length=32, blank=True)

    class Meta:
        ordering = ["order", "id"]

    def __str__(self) -> str:
        return self.title


class NightPlace(models.Model):
    """A place for the night that this branch tells people about, so that it can be chosen without a signal."""

    branch = models.ForeignKey(Branch, on_delete=models.CASCADE, related_name="night_places")
    name = models.CharField(max_length=60)
    latitude = models.DecimalField(
        max_digits=7, decimal_places=4, validators=[MinValueValidator(-90), MaxValueValidator(90)],
        help_text=_("Degrees, north positive."),
    )  # fmt: skip
    longitude = models.DecimalField(
        max_digits=8, decimal_places=4, validators=[MinValueValidator(-180), MaxValueValidator(180)],
        help_text=_("Degrees, east positive."),
    )  # fmt: skip
    mains = models.BooleanField(_("mains hook-up"), default=False)
    water = models.BooleanField(_("drinking water"), default=False)
    waste = models.BooleanField(_("dump point for waste and cassette"), default=False)

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(fields=["branch", "name"], name="one_night_place_a_name"),
            models.CheckConstraint(
                condition=Q(latitude__gte=-90, latitude__lte=90, longitude__gte=-180, longitude__lte=180),
                name="night_place_on_earth",
            ),
        ]

    def __str__(self) -> str:
        return self.name
