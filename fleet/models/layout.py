"""Layouts: the build that units share, station by station, with everything that is checked, read, counted or told.

Lengths are millimetres from the nose (y, backwards) and from the centre line (x, to the right seen from above).
"""

from decimal import Decimal

from django.core.exceptions import ValidationError
from django.core.validators import MinValueValidator
from django.db import models
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shared.ids import uuid7

AT = [
    ("both", gettext_lazy("Pickup and return")),
    ("pickup", gettext_lazy("Pickup")),
    ("return", gettext_lazy("Return")),
]


class Layout(models.Model):
    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    code = models.SlugField(unique=True)
    name = models.CharField(max_length=80)
    body = models.CharField(
        max_length=12, choices=[("panel_van", gettext_lazy("Panel van")), ("coachbuilt", gettext_lazy("Coach-built"))]
    )
    length_mm = models.PositiveIntegerField(validators=[MinValueValidator(3000)])
    width_mm = models.PositiveIntegerField(validators=[MinValueValidator(1500)])
    height_mm = models.PositiveIntegerField(validators=[MinValueValidator(1500)])
    axles_mm = models.JSONField(
        default=list, help_text=gettext_lazy("Distance of each axle from the nose, in millimetres.")
    )
    running_mass_kg = models.PositiveIntegerField(help_text=gettext_lazy("In running order, driver of 75 kg included."))
    max_mass_kg = models.PositiveIntegerField(help_text=gettext_lazy("From the plate."))
    width_mirrors_mm = models.PositiveIntegerField(
        gettext_lazy("width with mirrors, mm"), null=True, blank=True, validators=[MinValueValidator(1500)]
    )
    speed_kmh = models.PositiveSmallIntegerField(
        gettext_lazy("most speed, km/h"), null=True, blank=True,
        help_text=gettext_lazy("By the operator. The law and road signs come first."),
    )  # fmt: skip
    tyre_front_bar = models.DecimalField(
        gettext_lazy("front tyres cold, bar"), max_digits=3, decimal_places=1, null=True, blank=True
    )
    tyre_rear_bar = models.DecimalField(
        gettext_lazy("rear tyres cold, bar"), max_digits=3, decimal_places=1, null=True, blank=True
    )
    berths = models.PositiveSmallIntegerField()
    belted_seats = models.PositiveSmallIntegerField()
    fuel = models.CharField(
        max_length=6, choices=[("diesel", gettext_lazy("Diesel")), ("petrol", gettext_lazy("Petrol"))], default="diesel"
    )
    currency = models.CharField(max_length=3, help_text=gettext_lazy("Of the replacement prices below."))
    traffic_side = models.CharField(
        max_length=5, blank=True, choices=[("left", gettext_lazy("Left")), ("right", gettext_lazy("Right"))],
        help_text=gettext_lazy("The traffic it is drawn for: kerb and road side of its stations. Empty: the branch’s."),
    )  # fmt: skip

    class Meta:
        ordering = ["name"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(running_mass_kg__lt=models.F("max_mass_kg")), name="running_mass_below_maximum"
            )
        ]

    def __str__(self) -> str:
        return self.name


class Station(models.Model):
    """A place on the walk-round. The order is the order of the feet: round the vehicle and then through it."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    layout = models.ForeignKey(Layout, on_delete=models.CASCADE, related_name="stations")
    number = models.PositiveSmallIntegerField(validators=[MinValueValidator(1)])
    name = models.CharField(max_length=40)
    where = models.CharField(max_length=120, blank=True)
    x_mm = models.IntegerField()
    y_mm = models.IntegerField()
    way = models.JSONField(default=list, blank=True, help_text=gettext_lazy("Points [x, y] in mm on the way here."))

    class Meta:
        ordering = ["layout", "number"]
        constraints = [models.UniqueConstraint(fields=["layout", "number"], name="one_station_a_number")]

    def __str__(self) -> str:
        return f"{self.number} {self.name}"


class Fitting(models.Model):
    """Furniture and hatches as the plan draws them."""

    layout = models.ForeignKey(Layout, on_delete=models.CASCADE, related_name="fittings")
    kind = models.CharField(max_length=24)
    x_mm = models.IntegerField(help_text=gettext_lazy("Left edge."))
    y_mm = models.IntegerField(help_text=gettext_lazy("Front edge."))
    w_mm = models.PositiveIntegerField()
    h_mm = models.PositiveIntegerField()
    turn = models.SmallIntegerField(default=0, help_text=gettext_lazy("Degrees clockwise: 0, 90, 180 or 270."))

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return self.kind


class StationItem(models.Model):
    """What is done at a station. Once answered it can no longer be deleted, only retired."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    station = models.ForeignKey(Station, on_delete=models.PROTECT, related_name="%(class)ss")
    code = models.SlugField()
    order = models.PositiveSmallIntegerField(default=0)
    retired = models.BooleanField(default=False)

    class Meta:
        abstract = True
        ordering = ["station__number", "order", "code"]


class CheckItem(StationItem):
    text = models.CharField(max_length=80)
    hint = models.CharField(max_length=120, blank=True)
    good = models.CharField(max_length=16, help_text=gettext_lazy("The word of the good answer, such as None or Good."))
    bad = models.CharField(max_length=16, help_text=gettext_lazy("The word of the other answer, such as Smell or Bad."))
    safety = models.BooleanField(
        default=False, help_text=gettext_lazy("A bad answer stops the handover until it is released.")
    )
    stop_sentence = models.CharField(
        max_length=200, blank=True, help_text=gettext_lazy("What to do now when it stops.")
    )
    at = models.CharField(max_length=6, choices=AT, default="both")

    def __str__(self) -> str:
        return self.text

    def clean(self) -> None:
        if self.safety and not self.stop_sentence:
            raise ValidationError(
                {"stop_sentence": _("A safety check says what to do now when it stops the handover.")}
            )


class Instrument(StationItem):
    """What a reading is taken from: a gauge, a scale, a sight level, a meter."""

    class Measures(models.TextChoices):
        FUEL = "fuel", gettext_lazy("Fuel")
        EXHAUST_FLUID = "exhaust_fluid", "AUS 32"
        GAS = "gas", gettext_lazy("Gas cylinder, gross mass")
        FRESH_WATER = "fresh_water", gettext_lazy("Fresh water")
        WASTE_WATER = "waste_water", gettext_lazy("Waste water")
        CASSETTE = "cassette", gettext_lazy("Toilet cassette")
        HOUSE_BATTERY = "house_battery", gettext_lazy("House battery")
        ODOMETER = "odometer", gettext_lazy("Odometer")
        TREAD = "tread", gettext_lazy("Tyre tread")

    name = models.CharField(max_length=60)
    instrument = models.CharField(
        max_length=24, default="gauge", help_text=gettext_lazy("gauge, scale, sight, display, depth gauge")
    )
    measures = models.CharField(max_length=16, choices=Measures.choices)
    unit = models.CharField(max_length=4, help_text=gettext_lazy("L, kg, %, V, km or mm: readings are kept in it."))
    capacity = models.DecimalField(
        max_digits=8, decimal_places=2, null=True, blank=True, help_text=gettext_lazy("Full.")
    )
    steps = models.PositiveSmallIntegerField(default=8, help_text=gettext_lazy("Graduations from empty to full."))
    resolution = models.DecimalField(max_digits=6, decimal_places=3, default=Decimal(1))
    half_width = models.DecimalField(
        max_digits=6, decimal_places=3, default=Decimal(0),
        help_text=gettext_lazy("How far a reading may be off, each way, in the unit."),
    )  # fmt: skip
    tare_kg = models.DecimalField(max_digits=6, decimal_places=2, null=True, blank=True)
    net_kg = models.DecimalField(max_digits=6, decimal_places=2, null=True, blank=True)
    hint = models.CharField(max_length=120, blank=True)
    at = models.CharField(max_length=6, choices=AT, default="both")

    def __str__(self) -> str:
        return self.name

    def clean(self) -> None:
        if self.measures == self.Measures.GAS and (self.tare_kg is None or self.net_kg is None):
            raise ValidationError({"tare_kg": _("A gas cylinder needs its tare and net mass, both stamped on it.")})
        if self.measures == self.Measures.FUEL and not self.capacity:
            raise ValidationError({"capacity": _("A fuel tank needs its usable litres.")})


class Kit(StationItem):
    """A safety kit under a numbered seal, or an extinguisher under its pin."""

    name = models.CharField(max_length=60)
    sealed = models.BooleanField(
        default=True, help_text=gettext_lazy("Has a numbered seal. An extinguisher has a pin and a gauge.")
    )
    contents = models.JSONField(
        default=list, blank=True, help_text=gettext_lazy("The items inside, as a list of names.")
    )

    def __str__(self) -> str:
        return self.name


class Equipment(StationItem):
    name = models.CharField(max_length=60)
    quantity = models.PositiveSmallIntegerField(default=1)
    price = models.DecimalField(max_digits=10, decimal_places=2, help_text=gettext_lazy("To replace one."))
    life_months = models.PositiveSmallIntegerField(null=True, blank=True)
    age_reduced = models.BooleanField(
        default=True, help_text=gettext_lazy("Its age lowers the charge. Not for keys or papers.")
    )

    class Meta(StationItem.Meta):
        verbose_name_plural = "equipment"

    def __str__(self) -> str:
        return self.name


class Topic(StationItem):
    """Something the customer must understand. The usual caution; the handbook comes first."""

    class Severity(models.TextChoices):
        SAFETY = "S", gettext_lazy("Safety-critical")
        DAMAGE = "D", gettext_lazy("Prevents damage")
        COMFORT = "C", gettext_lazy("Comfort")

    severity = models.CharField(max_length=1, choices=Severity.choices)
    title = models.CharField(max_length=60)
    text = models.TextField()

    def __str__(self) -> str:
        return self.title


class PhotoView(StationItem):
    """A photo that every walk-round of this layout takes: the same thing from the same place, so that two compare."""

    name = models.CharField(max_length=60)
    shows = models.CharField(
        max_length=120, blank=True, help_text=gettext_lazy("What must be in it, for whoever takes it.")
    )
    reads = models.SlugField(
        blank=True, help_text=gettext_lazy("Code of the instrument of this station that it shows, if one.")
    )
    eye_x_mm = models.IntegerField(help_text=gettext_lazy("Where the camera is: right of the centre line."))
    eye_y_mm = models.IntegerField(help_text=gettext_lazy("Where the camera is: behind the nose."))
    aim_x_mm = models.IntegerField(help_text=gettext_lazy("The middle of the picture: right of the centre line."))
    aim_y_mm = models.IntegerField(help_text=gettext_lazy("The middle of the picture: behind the nose."))
    at = models.CharField(max_length=6, choices=AT, default="both")

    def __str__(self) -> str:
        return self.name

    def clean(self) -> None:
        if (self.eye_x_mm, self.eye_y_mm) == (self.aim_x_mm, self.aim_y_mm):
            raise ValidationError(
                {"aim_x_mm": _("The camera looks from one place to another; these two are the same.")}
            )
        if self.reads and not Instrument.objects.filter(station_id=self.station_id, code=self.reads).exists():
            raise ValidationError({"reads": _("No instrument of this station has this code.")})
